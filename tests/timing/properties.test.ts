import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fraction } from "../../src/theory/fraction.js";
import { attributes, metronome, type PartXml } from "../support/score-xml.js";
import { BACK, performFirst, playback } from "./times.js";

const TICKS = 12;
const SPEEDS = ["short", "likely", "long"] as const;

/** Something that lasts so many twelfths of a quarter, with a tempo from there on. */
interface Event {
  readonly ticks: number;
  readonly silent: boolean;
  readonly tempo: number | null;
  readonly printed: boolean;
}
interface EventBar {
  readonly events: readonly Event[];
  readonly back: boolean;
}

const anyEvent: fc.Arbitrary<Event> = fc.record({
  ticks: fc.integer({ min: 1, max: 24 }),
  silent: fc.boolean(),
  tempo: fc.option(fc.integer({ min: 10, max: 300 })),
  printed: fc.boolean(),
});
const anyBars: fc.Arbitrary<readonly EventBar[]> = fc.array(
  fc.record({ events: fc.array(anyEvent, { minLength: 1, maxLength: 6 }), back: fc.boolean() }),
  { minLength: 1, maxLength: 5 },
);

/** The bars as MusicXML, with all tempi and the divisions multiplied. */
function partOf(bars: readonly EventBar[], tempoFactor = 1, scale = 1): PartXml {
  const eventXml = ({ ticks, silent, tempo, printed }: Event) => {
    const number = (tempo ?? 0) * tempoFactor;
    const mark = printed ? metronome("quarter", String(number)) : playback(number);
    const pitch = silent ? "<rest/>" : "<pitch><step>C</step><octave>5</octave></pitch>";
    return `${tempo === null ? "" : mark}<note>${pitch}<duration>${ticks * scale}</duration></note>`;
  };
  return {
    bars: bars.map(
      ({ events, back }) =>
        attributes({ meter: "4/4", divisions: TICKS * scale }) +
        events.map(eventXml).join("") +
        (back ? BACK : ""),
    ),
  };
}

describe("for any score", () => {
  it("doubling all tempi halves every second", () => {
    // A tempo at the very start, so that nothing is assumed.
    const start: EventBar = {
      events: [{ ticks: TICKS, silent: true, tempo: 90, printed: true }],
      back: false,
    };
    fc.assert(
      fc.property(anyBars, (bars) => {
        const plain = performFirst([partOf([start, ...bars])]).seconds;
        const doubled = performFirst([partOf([start, ...bars], 2)]).seconds;
        for (const speed of SPEEDS) expect(doubled[speed]).toBeCloseTo(plain[speed] / 2, 9);
      }),
    );
  });

  it("rescaling the divisions changes nothing", () => {
    fc.assert(
      fc.property(anyBars, fc.integer({ min: 2, max: 80 }), (bars, scale) => {
        const plain = performFirst([partOf(bars)]);
        const rescaled = performFirst([partOf(bars, 1, scale)]);
        expect(rescaled.timeline).toEqual(plain.timeline);
        expect(rescaled.seconds).toEqual(plain.seconds);
      }),
    );
  });

  it("splitting a rest anywhere adds up", () => {
    const anyShares = fc.tuple(fc.nat(1000), fc.nat(1000), fc.nat(1000));
    fc.assert(
      fc.property(anyBars, anyShares, (bars, shares) => {
        const { map, total } = performFirst([partOf(bars)]);
        const [from, split, to] = shares
          .sort((a, b) => a - b)
          .map((share) => total.mul(fraction(share, 1000)));
        const whole = map.secondsBetween(from!, to!);
        const before = map.secondsBetween(from!, split!);
        const after = map.secondsBetween(split!, to!);
        for (const speed of SPEEDS) {
          expect(before[speed] + after[speed]).toBeCloseTo(whole[speed], 9);
        }
      }),
    );
  });

  it("the fast tempo is never slower than the likely one, nor that than the slow one", () => {
    fc.assert(
      fc.property(anyBars, (bars) => {
        const { short, likely, long } = performFirst([partOf(bars)]).seconds;
        expect(short).toBeLessThan(likely);
        expect(likely).toBeLessThan(long);
      }),
    );
  });

  it("a count of seconds leads to the moment that lies so many seconds on", () => {
    fc.assert(
      fc.property(anyBars, fc.nat(1000), (bars, share) => {
        const { map, total } = performFirst([partOf(bars)]);
        const to = total.mul(fraction(share, 1000));
        const { short } = map.secondsBetween(fraction(0), to);
        expect(map.quartersAfterSeconds(fraction(0), short)).toBeCloseTo(to.valueOf(), 9);
      }),
    );
  });
});
