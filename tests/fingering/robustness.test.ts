import { afterAll, describe, expect, it, vi } from "vitest";
import { WEIGHTS } from "../../src/fingering/weights.js";
import { chromatic, even, midis, overCompass } from "./passages.js";

/** Weights that say how the effort is made up; the others set units, speeds and prices outside the table. */
const MADE_UP = [
  "reach", "together", "oppositeInHand", "oppositeBetweenHands", "slide", "otherHolds", "roll",
  "breakAtAll", "breakFinger", "breakSlurred", "registerChange", "handDown", "trillGood", "trillAwkward",
] as const satisfies readonly (keyof typeof WEIGHTS)[]; // prettier-ignore
const FINGERS = Object.keys(WEIGHTS.finger) as (keyof typeof WEIGHTS.finger)[];

interface Change {
  readonly weight: string;
  readonly times: number;
}
const CHANGES: readonly Change[] = [...MADE_UP, ...FINGERS].flatMap((weight) =>
  [0.9, 1.1].map((times) => ({ weight, times })),
);

/** The engine with one weight changed: loaded anew, since it keeps the moves it has worked out. */
async function engineWith({ weight, times }: Change) {
  vi.resetModules();
  const { WEIGHTS: fresh } = await import("../../src/fingering/weights.js");
  const group: Record<string, unknown> = weight in fresh ? fresh : fresh.finger;
  group[weight] = (group[weight] as number) * times;
  const { bestFingering } = await import("../../src/fingering/best-fingering.js");
  const { judgeTrill } = await import("../../src/fingering/trills.js");
  return { bestFingering, judgeTrill };
}

afterAll(() => {
  vi.resetModules();
});

describe("the engine loaded anew", () => {
  it("reckons with the changed weight", async () => {
    const notes = even(midis(overCompass("scale", -1)));
    const [plain, heavier] = [
      (await engineWith({ weight: "LR", times: 1 })).bestFingering(notes).score,
      (await engineWith({ weight: "LR", times: 2 })).bestFingering(notes).score,
    ];
    expect(heavier).toBeGreaterThan(1.05 * plain);
  });
});

describe("with one weight a tenth more or less", () => {
  it.each(CHANGES)(
    "$weight × $times: the order of keys and the choice of clarinet stay",
    async (change) => {
      const { bestFingering, judgeTrill } = await engineWith(change);
      const score = (notes: readonly number[]) => bestFingering(even(notes)).score;
      const scale = new Map<number, number>();
      for (let fifths = -5; fifths <= 6; fifths++) {
        scale.set(fifths, score(midis(overCompass("scale", fifths))));
      }
      const at = (fifths: number) => scale.get(fifths) ?? NaN;
      const order = [...scale.keys()].sort((a, b) => at(a) - at(b));
      expect(order.slice(0, 3).sort()).toEqual([-1, 0, 1]);
      expect(order.slice(9).sort()).toEqual([-5, 5, 6]);
      const between = score(chromatic);
      expect(between).toBeGreaterThan(at(order[2]!));
      expect(between).toBeLessThan(at(order[9]!));
      // The rows of Gehrkens' table as pairs of written keys, his choice first.
      for (const [chosen, other] of [
        [2, -3],
        [-2, 3],
        [-1, 4],
        [0, 5],
        [1, 6],
        [2, -5],
        [1, -4],
        [0, -5],
        [-1, 6],
        [-2, 5],
        [-3, 4],
      ] as const) {
        expect(at(chosen), `${chosen} before ${other}`).toBeLessThan(at(other));
      }
      // Of the remarks on trills the two extremes: side keys good, little fingers in turn not.
      expect(judgeTrill(69, 71).verdict).toBe("good");
      expect(judgeTrill(73, 75).verdict).not.toBe("good");
    },
  );
});
