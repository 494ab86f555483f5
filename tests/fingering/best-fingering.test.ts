import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  bestFingering,
  junctionBound,
  worstSpots,
  type FingeredNote,
} from "../../src/fingering/best-fingering.js";
import { fingeringsOf, type Fingering } from "../../src/fingering/fingerings.js";
import { ownEffort, transition } from "../../src/fingering/transition.js";
import { strainOf, WEIGHTS } from "../../src/fingering/weights.js";
import { fraction, toNumber } from "../../src/theory/fraction.js";
import { even, named } from "./passages.js";

const anyMidi = fc.integer({ min: 52, max: 96 });
const anyNote: fc.Arbitrary<FingeredNote> = fc.record({
  midi: anyMidi,
  seconds: fc.double({ min: 0.05, max: 2, noNaN: true }),
  restBefore: fc.boolean(),
  slurred: fc.boolean(),
});
/** Stepwise lines as well as leaps: around the break and among the little fingers it is closest. */
const anyPassage = (maxLength: number) =>
  fc.oneof(
    fc.array(anyNote, { maxLength }),
    fc.array(fc.record({ ...noteShape(), midi: fc.integer({ min: 66, max: 77 }) }), { maxLength }),
  );

function noteShape() {
  return {
    seconds: fc.constantFrom(0.0625, 0.125, 0.5),
    restBefore: fc.constant(false),
    slurred: fc.boolean(),
  };
}

/** Every way through, one after the other. */
function cheapestByForce(notes: readonly FingeredNote[]): number {
  const go = (k: number, before: Fingering | null, cost: number): number => {
    const note = notes[k];
    if (!note) return cost;
    return Math.min(
      ...fingeringsOf(note.midi).map((fingering) => {
        const seam = notes[k - 1];
        const move =
          before && seam && !note.restBefore
            ? strainOf(transition(before, fingering, note.slurred).effort, seam.seconds)
            : 0;
        const own = strainOf(ownEffort(fingering).effort, note.seconds);
        return go(k + 1, fingering, cost + move + own);
      }),
    );
  };
  return go(0, null, 0);
}

describe("bestFingering", () => {
  it("is as cheap as the best of all ways through", () => {
    fc.assert(
      fc.property(anyPassage(5), (notes) => {
        expect(bestFingering(notes).load).toBeCloseTo(cheapestByForce(notes), 9);
      }),
      { numRuns: 300 },
    );
  });

  it("shows its sum: strains make the load, reasons make the efforts", () => {
    fc.assert(
      fc.property(anyPassage(12), (notes) => {
        const { notes: played, load, score } = bestFingering(notes);
        expect(played).toHaveLength(notes.length);
        expect(load).toBeCloseTo(played.reduce((sum, { strain }) => sum + strain, 0), 9);
        expect(score * Math.max(1, notes.length)).toBeCloseTo(load, 9);
        for (const { effort, reasons } of played) {
          expect(effort).toBeCloseTo(reasons.reduce((sum, reason) => sum + reason.effort, 0), 9);
        }
        played.forEach(({ fingering }, k) => { expect(fingering?.midi).toBe(notes[k]!.midi); });
      }),
    ); // prettier-ignore
  });

  it("is the same every time, and does not change what it is given", () => {
    const notes = Object.freeze(even(named("G4 A4 B4 C5 C#5 Eb5 F5 F#5")).map(Object.freeze));
    const first = bestFingering(notes as FingeredNote[]);
    expect(bestFingering(notes as FingeredNote[])).toEqual(first);
  });

  it("takes the usual fingering where nothing speaks against it", () => {
    for (let midi = 52; midi <= 96; midi++) {
      const [note] = bestFingering(even([midi])).notes;
      expect(note?.fingering).toBe(fingeringsOf(midi)[0]);
    }
  });

  it("has nothing to say of no notes, and of one repeated note", () => {
    expect(bestFingering([])).toEqual({ notes: [], load: 0, score: 0 });
    expect(bestFingering(even(named("G4 G4 G4 G4"), 16)).load).toBe(0);
  });
});

describe("speed", () => {
  const factor = fc.double({ min: 1, max: 8, noNaN: true });

  it("makes nothing easier", () => {
    fc.assert(
      fc.property(anyPassage(10), factor, (notes, faster) => {
        const quick = notes.map((note) => ({ ...note, seconds: note.seconds / faster }));
        expect(bestFingering(quick).load).toBeGreaterThanOrEqual(bestFingering(notes).load - 1e-9);
      }),
    );
  });

  it("makes harder by its square where it is no faster than fingers go", () => {
    const notes = named("C4 D4 E4 F4 G4 A4 B4 C5");
    const at = (speed: number) => bestFingering(even(notes, speed)).score;
    expect(at(16) / at(8)).toBeCloseTo(4, 9);
    expect(at(1)).toBeLessThan(0.05);
    expect(at(100)).toBe(at(WEIGHTS.fastest));
  });

  it("does not depend on the divisions the durations are counted in", () => {
    const lengths = fc.array(fc.tuple(anyMidi, fc.integer({ min: 1, max: 16 })), { maxLength: 10 });
    const rescaling = fc.integer({ min: 1, max: 480 });
    fc.assert(
      fc.property(lengths, rescaling, (passage, times) => {
        const counted = (scale: number) =>
          passage.map(([midi, length], k) => ({
            midi,
            // Divisions of a quarter, at quarter = 90.
            seconds: toNumber(fraction(length * scale, 4 * scale).mul(fraction(60, 90))),
            restBefore: k % 5 === 0,
            slurred: k % 2 === 0,
          }));
        expect(bestFingering(counted(times))).toEqual(bestFingering(counted(1)));
      }),
    );
  });
});

describe("load of two passages joined", () => {
  it("is that of both and at most the dearest move at the seam", () => {
    fc.assert(
      fc.property(anyPassage(8), anyPassage(8), (a, b) => {
        const [last, first] = [a.at(-1), b[0]];
        const parts = bestFingering(a).load + bestFingering(b).load;
        const whole = bestFingering([...a, ...b]).load;
        const seam = last && first ? junctionBound(last, first) : 0;
        expect(whole).toBeGreaterThanOrEqual(parts - 1e-9);
        expect(whole).toBeLessThanOrEqual(parts + seam + 1e-9);
      }),
      { numRuns: 300 },
    );
  });

  it("is exactly that of both where a rest is between them", () => {
    const notes = even(named("C5 C#5 Eb5 C5"));
    const rested = notes.map((note, k) => ({ ...note, restBefore: k === 0 }));
    expect(bestFingering([...notes, ...rested]).load).toBeCloseTo(2 * bestFingering(notes).load, 9);
  });
});

describe("reasons", () => {
  const reasonsOf = (text: string) =>
    bestFingering(even(named(text))).notes.flatMap(({ reasons }) => reasons);
  const kindsOf = (text: string) => new Set(reasonsOf(text).map(({ kind }) => kind));

  it("name a slide where left and right alternate no longer", () => {
    // E-flat has a key on the right only: of the notes between, one little finger has two in a row.
    const slides = reasonsOf("Eb5 C#5 C5 Eb5").filter(({ kind }) => kind === "slide");
    expect(slides).toHaveLength(1);
    const alternating = kindsOf("Eb5 C#5 Eb5 C5 Eb5");
    expect(alternating.has("slide")).toBe(false);
    expect(alternating.has("opposite")).toBe(true);
  });

  it("name no slide over a rest", () => {
    const notes = even(named("Eb5 C#5 C5 Eb5")).map((note) => ({ ...note, restBefore: true }));
    expect(bestFingering(notes).load).toBe(0);
  });

  it("hold the right F for B and C, as players do", () => {
    const { notes } = bestFingering(even(named("G4 A4 B4 C5 D5")));
    expect(notes.map(({ fingering }) => fingering?.use)).toContain("left E with right F held");
    expect(notes[1]?.fingering?.handDown).toBe(true);
  });

  it("use the sliver key in half steps and the middle finger beside G", () => {
    const at = (text: string) => bestFingering(even(named(text))).notes[1]?.fingering?.use;
    expect(at("F5 F#5 F5")).toBe("chromatic, sliver key");
    expect(at("G5 F#5 G5")).toBe("middle finger");
    expect(at("F4 F#4 F4")).toBe("chromatic with F4");
    expect(at("G4 F#4 G4")).toBe("");
  });

  it("name the break, and make it harder under a slur", () => {
    expect(kindsOf("A4 B4").has("break")).toBe(true);
    expect(kindsOf("A3 E5").has("register-change")).toBe(true);
    const slurred = even(named("A4 B4"));
    const tongued = slurred.map((note) => ({ ...note, slurred: false }));
    expect(bestFingering(slurred).load).toBeGreaterThan(1.1 * bestFingering(tongued).load);
    // Elsewhere the tongue makes no difference to the fingers.
    const easy = even(named("C5 D5 E5"));
    const easyTongued = easy.map((note) => ({ ...note, slurred: false }));
    expect(bestFingering(easy).load).toBe(bestFingering(easyTongued).load);
  });

  it("say that a note is not in the table, or not on the instrument", () => {
    const quarterTone = bestFingering(even([60, 60.5, 62])).notes[1];
    expect(quarterTone?.fingering).toBeNull();
    expect(quarterTone?.reasons).toEqual([{ kind: "no-fingering", effort: WEIGHTS.noFingering }]);
    // E-flat 3 is on a bass clarinet, with a key the table does not have.
    const low = even([51, 52]);
    expect(bestFingering(low, "bass-clarinet-bflat").notes[0]?.reasons[0]?.kind).toBe(
      "no-fingering",
    );
    expect(bestFingering(low, "clarinet-bflat").notes[0]?.reasons[0]?.kind).toBe("out-of-range");
  });

  it("find the worst spots", () => {
    const passage = bestFingering(even(named("C5 D5 E5 F5 Eb5 C#5 C5 Eb5 F5 G5"), 11));
    const [worst] = worstSpots(passage, 3);
    expect(worst?.note.reasons.map(({ kind }) => kind)).toContain("slide");
    expect(worst?.note.speed).toBeCloseTo(11, 9);
    expect(worstSpots(passage, 3).map(({ note }) => note.strain)).toEqual(
      [...passage.notes.map(({ strain }) => strain)].sort((a, b) => b - a).slice(0, 3),
    );
  });
});

describe("transition", () => {
  it("costs nothing where no finger moves, and as much back as forth", () => {
    const pairs = fc.tuple(anyMidi, anyMidi, fc.nat(), fc.nat(), fc.boolean());
    fc.assert(
      fc.property(pairs, ([a, b, i, j, slurred]) => {
        const [from, to] = [fingeringsOf(a), fingeringsOf(b)].map(
          (all, k) => all[(k === 0 ? i : j) % all.length]!,
        ) as [Fingering, Fingering];
        expect(transition(from, from, slurred)).toEqual({ effort: 0, reasons: [] });
        expect(transition(to, from, slurred).effort).toBeCloseTo(
          transition(from, to, slurred).effort,
          9,
        );
      }),
    );
  });
});
