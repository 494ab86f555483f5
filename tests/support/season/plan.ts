import { seeded, type Random } from "../../corpus/renotate-random.js";
import { planMusic, type PlannedMusic, type SeatInstruments } from "./music.js";

/** What follows a movement: left out, the usual pause is assumed. */
export type PlannedGap = "attacca" | { readonly seconds: number } | undefined;

export interface PlannedMovement {
  /** Below the folder of its work. */
  readonly file: string;
  /** Its title in the season file; empty for none. */
  readonly title: string;
  /** `<movement-title>` in the file; empty for none. */
  readonly printedTitle: string;
  readonly after: PlannedGap;
  /** What is in the file; undefined for one that is broken (see `broken.ts`). */
  readonly music: PlannedMusic | undefined;
}

export interface PlannedWork {
  readonly folder: string;
  /** Its title in the season file; empty where the `<work-title>` of its files names it. */
  readonly title: string;
  readonly printedTitle: string;
  readonly movements: readonly PlannedMovement[];
  /** After the last movement, where that has none of its own. */
  readonly pause: PlannedGap;
}

export interface PlannedProgramme {
  readonly folder: string;
  readonly name: string;
  readonly date: string;
  readonly works: readonly PlannedWork[];
}

export interface SeasonPlan {
  readonly programmes: readonly PlannedProgramme[];
}

/** One of the section, all invented, with the seconds the hands need as the season file gives them. */
export interface PlannedPlayer extends SeatInstruments {
  readonly name: string;
  readonly part: string;
  /** Of the profile; what is left out there is the usual. */
  readonly hands: HandPlan;
}

export interface HandPlan {
  readonly moveMouthpieceSeconds?: string;
  readonly instruments?: Readonly<Record<string, Readonly<Record<string, string>>>>;
}

export const PLAYERS: readonly PlannedPlayer[] = [
  {
    ...{ name: "Ida Quill", part: "*Clarinet 1*", chair: "Clarinet 1" },
    instruments: ["clarinet-bflat", "clarinet-a"],
    hands: {
      moveMouthpieceSeconds: "1.2",
      instruments: {
        "clarinet-bflat": { putDownSeconds: "0.6", pickUpSeconds: "0.65" },
        "clarinet-a": { putDownSeconds: "0.6", pickUpSeconds: "0.7", settleSeconds: "0.45" },
      },
    },
  },
  {
    ...{ name: "Bo Tarn", part: "*Clarinet 2*", chair: "Clarinet 2" },
    instruments: ["clarinet-bflat", "clarinet-a"],
    hands: {},
  },
  {
    ...{ name: "Cleo Marsh", part: "*Clarinet 3*", chair: "Clarinet 3" },
    instruments: ["clarinet-bflat", "clarinet-eflat", "bass-clarinet-bflat"],
    hands: { instruments: { "bass-clarinet-bflat": { pickUpSeconds: "2.35" } } },
  },
];

const NAMES = ["Saltmere", "Quillby", "Tarn Head", "Weir Lane", "Osier Bed", "Mill Race"];
const PROGRAMMES = 6;
const ENDINGS = ["musicxml", "xml", "mxl"];
/** None of them is a limit of a verdict. */
const PAUSES = [1.5, 2.8, 4, 6.4, 8.6, 12, 20, 45, 120];

/**
 * A season that a seed repeats: works of one to five movements in six programmes.
 * @param movements how many can be read
 * @param broken how many stand among them that cannot
 */
export function planSeason(seed: number, movements: number, broken: number): SeasonPlan {
  const random = seeded(seed);
  const works: PlannedWork[] = [];
  for (let left = movements; left > 0;) {
    const count = Math.min(left, 1 + random.below(5));
    works.push(planWork(random, works.length + 1, count));
    left -= count;
  }
  const places = random.some([...works.keys()], broken);
  const withBroken = works.map((work, k) =>
    places.includes(k) ? insertBroken(random, work) : work,
  );
  const share = Math.ceil(withBroken.length / PROGRAMMES);
  const programmes = Array.from({ length: PROGRAMMES }, (_, k): PlannedProgramme => ({
    folder: `${k + 1} At ${NAMES[k] ?? ""}`,
    name: `Evening at ${NAMES[k] ?? ""}`,
    date: `2031-0${k + 1}-14`,
    works: withBroken.slice(k * share, (k + 1) * share),
  }));
  return { programmes: programmes.filter((programme) => programme.works.length > 0) };
}

function planWork(random: Random, number: number, count: number): PlannedWork {
  const printedTitle = random.chance(0.5) ? `Printed Work ${number}` : "";
  // Without the title of the work the only one would be taken for it, where it is not that of every file.
  const titled = printedTitle !== "" ? 0.6 : count > 1 && random.chance(0.4) ? 1 : 0;
  return {
    folder: `${String(number).padStart(3, "0")} Work`,
    title: printedTitle === "" || random.chance(0.5) ? `Work No. ${number}` : "",
    printedTitle,
    movements: Array.from({ length: count }, (_, k) => planMovement(random, number, k + 1, titled)),
    pause: random.chance(0.5) ? planGap(random) : undefined,
  };
}

/** @param titled how likely the file prints the title of the movement */
function planMovement(
  random: Random,
  work: number,
  number: number,
  titled: number,
): PlannedMovement {
  return {
    file: `${number}.${random.pick(ENDINGS)}`,
    title: random.chance(0.3) ? `Title ${work}.${number}` : "",
    printedTitle: random.chance(titled) ? `Movement ${work}.${number}` : "",
    after: random.chance(0.5) ? planGap(random) : undefined,
    music: planMusic(random, PLAYERS),
  };
}

function planGap(random: Random): PlannedGap {
  return random.chance(0.4) ? "attacca" : { seconds: random.pick(PAUSES) };
}

/** A file that cannot be read, at the beginning, in the middle or at the end of a work. */
function insertBroken(random: Random, work: PlannedWork): PlannedWork {
  const movements = [...work.movements];
  const broken = { file: "", title: "Lost", printedTitle: "", after: planGap(random) };
  movements.splice(random.below(movements.length + 1), 0, { ...broken, music: undefined });
  return { ...work, movements };
}
