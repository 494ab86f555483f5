import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fraction, ZERO } from "../../src/theory/fraction.js";
import { rampQuarters, rampSeconds } from "../../src/timing/ramp.js";
import { attributes, type PartXml } from "../support/score-xml.js";
import { direction } from "./marks.js";
import { BACK, performFirst, playback } from "./times.js";

const TICKS = 12;
const SPEEDS = ["short", "likely", "long"] as const;

/** What a place says of the tempo; every number in it is multiplied. */
type Sign = (factor: number) => string;

/** Something that lasts so many twelfths of a quarter, with a sign before it. */
interface Event {
  readonly ticks: number;
  readonly silent: boolean;
  readonly sign: Sign | null;
}
interface EventBar {
  readonly meter: string;
  readonly events: readonly Event[];
  readonly back: boolean;
}

/** Words that only refer to other tempi: those that name one, such as "Allegro", cannot be doubled. */
const RELATIVE_WORDS = [
  ...["rit.", "poco rit.", "rall.", "accel.", "stringendo", "calando", "poco a poco accel."],
  ...["a tempo", "Tempo I", "rubato", "L'istesso tempo"],
  ...["Più mosso", "Meno mosso", "riten.", "Doppio movimento", "Doppio più lento", "langsamer"],
];
const anyNumber = fc.integer({ min: 10, max: 300 });
const anyWords = fc.constantFrom(...RELATIVE_WORDS);
const named = (text: string, sign: Sign): Sign => Object.assign(sign, { toString: () => text });

const anySign: fc.Arbitrary<Sign> = fc.oneof(
  anyNumber.map((n) => named(`q=${n}`, (by) => direction(`q=${n * by}`))),
  anyNumber.map((n) => named(`h=ca. ${n}`, (by) => direction(`h=ca. ${n * by}`))),
  fc
    .tuple(anyNumber, fc.integer({ min: 1, max: 20 }))
    .map(([n, more]) =>
      named(`q=${n}-${n + more}`, (by) => direction(`q=${n * by}-${(n + more) * by}`)),
    ),
  anyNumber.map((n) => named(`playback ${n}`, (by) => playback(n * by))),
  fc
    .constantFrom("q=q.", "q.=q", "e=e", "q=e", "e=q", "q.=h")
    .map((text) => named(text, () => direction(text))),
  anyWords.map((text) => named(text, () => direction(text))),
  fc
    .tuple(anyWords, anyNumber)
    .map(([text, n]) => named(`${text} ${n}`, (by) => direction(text, playback(n * by)))),
);
const anyEvent: fc.Arbitrary<Event> = fc.record({
  ticks: fc.integer({ min: 1, max: 24 }),
  silent: fc.boolean(),
  sign: fc.option(anySign),
});
const anyBar: fc.Arbitrary<EventBar> = fc.record({
  meter: fc.constantFrom("4/4", "3/4", "6/8", "2/2", "3/2", "5/8"),
  events: fc.array(anyEvent, { minLength: 1, maxLength: 5 }),
  back: fc.boolean(),
});
const anyBars = fc.array(anyBar, { minLength: 1, maxLength: 8 });

/** A printed number at the very start, so that nothing is assumed. */
const START: EventBar = {
  meter: "4/4",
  events: [{ ticks: TICKS, silent: true, sign: named("q=90", (by) => direction(`q=${90 * by}`)) }],
  back: false,
};

/** The bars as MusicXML, with all numbers and the divisions multiplied. */
function partOf(bars: readonly EventBar[], factor = 1, scale = 1): PartXml {
  const eventXml = ({ ticks, silent, sign }: Event) => {
    const pitch = silent ? "<rest/>" : "<pitch><step>C</step><octave>5</octave></pitch>";
    return `${sign?.(factor) ?? ""}<note>${pitch}<duration>${ticks * scale}</duration></note>`;
  };
  return {
    bars: bars.map(
      ({ meter, events, back }) =>
        attributes({ meter, divisions: TICKS * scale }) +
        events.map(eventXml).join("") +
        (back ? BACK : ""),
    ),
  };
}

/** Equal but for a share of the whole. */
function expectSame(actual: number, expected: number, share = 1e-9, whole = expected): void {
  expect(Math.abs(actual - expected)).toBeLessThanOrEqual(share * Math.abs(whole));
}

describe("for any score", () => {
  it("doubling every given number halves every second", () => {
    fc.assert(
      fc.property(anyBars, (bars) => {
        const plain = performFirst([partOf([START, ...bars])]).seconds;
        const doubled = performFirst([partOf([START, ...bars], 2)]).seconds;
        for (const speed of SPEEDS) expectSame(doubled[speed], plain[speed] / 2);
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
        for (const speed of SPEEDS) expectSame(before[speed] + after[speed], whole[speed]);
      }),
    );
  });

  it("the fast tempo is never slower than the likely one, nor that than the slow one", () => {
    fc.assert(
      fc.property(anyBars, (bars) => {
        const { map, seconds } = performFirst([partOf(bars)]);
        for (const { slow, likely, fast } of map.stretches.flatMap(({ from, to }) => [from, to])) {
          expect(slow).toBeGreaterThan(0);
          // But for the last digit
          expect(slow).toBeLessThanOrEqual(likely * (1 + 1e-12));
          expect(likely).toBeLessThanOrEqual(fast * (1 + 1e-12));
        }
        expect(seconds.short).toBeLessThan(seconds.long);
      }),
    );
  });

  it("the tempi lie end to end over the whole performance", () => {
    fc.assert(
      fc.property(anyBars, (bars) => {
        const { map, total } = performFirst([partOf(bars)]);
        let end = ZERO;
        for (const stretch of map.stretches) {
          expect(stretch.startQuarters.equals(end)).toBe(true);
          expect(stretch.endQuarters.compare(end)).toBeGreaterThan(0);
          end = stretch.endQuarters;
        }
        expect(end.equals(total)).toBe(true);
      }),
    );
  });

  it("a count of seconds leads to the moment that lies so many seconds on", () => {
    fc.assert(
      fc.property(anyBars, fc.nat(1000), fc.nat(1000), (bars, a, b) => {
        const { map, total } = performFirst([partOf(bars)]);
        const [from, to] = [Math.min(a, b), Math.max(a, b)].map((share) =>
          total.mul(fraction(share, 1000)),
        );
        const { short } = map.secondsBetween(from!, to!);
        const found = map.quartersAfterSeconds(from!, short);
        expectSame(found, to!.valueOf(), 1e-9, total.valueOf());
      }),
    );
  });
});

describe("for any gradual change", () => {
  const anyTempo = fc.double({ min: 30, max: 240, noNaN: true });
  const anyQuarters = fc.double({ min: 0.1, max: 200, noNaN: true });

  it("the seconds are those of the published closed form, the integral of 60 / b(x)", () => {
    fc.assert(
      fc.property(anyQuarters, anyTempo, anyTempo, (q, b1, b2) => {
        fc.pre(Math.abs(b2 - b1) > 1);
        expectSame(rampSeconds(q, b1, b2), (60 * q * Math.log(b2 / b1)) / (b2 - b1), 1e-12);
      }),
    );
  });

  it("they equal a numerical integral (Simpson's rule, 1000 steps)", () => {
    const STEPS = 1000;
    fc.assert(
      fc.property(anyQuarters, anyTempo, anyTempo, (q, b1, b2) => {
        let sum = 0;
        for (let k = 0; k <= STEPS; k++) {
          const weight = k === 0 || k === STEPS ? 1 : k % 2 === 1 ? 4 : 2;
          sum += (weight * 60) / (b1 + ((b2 - b1) * k) / STEPS);
        }
        expectSame(rampSeconds(q, b1, b2), (sum * q) / STEPS / 3);
      }),
    );
  });

  it("they tend to 60 q / b as the two ends meet", () => {
    fc.assert(
      fc.property(anyQuarters, anyTempo, fc.integer({ min: 3, max: 320 }), (q, b, power) => {
        const steady = (60 * q) / b;
        expect(rampSeconds(q, b, b)).toBe(steady);
        for (const change of [10 ** -power, -(10 ** -power)]) {
          // ln(1 + r) / r = 1 - r/2 + r²/3 - ...
          const seconds = rampSeconds(q, b, b * (1 + change));
          expectSame(seconds, steady * (1 - change / 2), change ** 2 + 1e-14);
        }
      }),
    );
  });

  it("they are the same there and back, and between those of the two steady tempi", () => {
    fc.assert(
      fc.property(anyQuarters, anyTempo, anyTempo, (q, b1, b2) => {
        const seconds = rampSeconds(q, b1, b2);
        expectSame(rampSeconds(q, b2, b1), seconds, 1e-12);
        expect(seconds).toBeGreaterThanOrEqual(((60 * q) / Math.max(b1, b2)) * (1 - 1e-12));
        expect(seconds).toBeLessThanOrEqual(((60 * q) / Math.min(b1, b2)) * (1 + 1e-12));
      }),
    );
  });

  it("so many seconds lead as far as takes so many seconds", () => {
    const anyShare = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(anyQuarters, anyTempo, anyTempo, anyShare, (q, b1, b2, share) => {
        const part = q * share;
        const seconds = rampSeconds(part, b1, b1 + (b2 - b1) * share);
        expectSame(rampQuarters(seconds, q, b1, b2), part, 1e-9, q);
        // No further than its end
        expect(rampQuarters(2 * rampSeconds(q, b1, b2), q, b1, b2)).toBe(q);
      }),
    );
  });
});
