import Fraction from "fraction.js";
import type { Random } from "../../corpus/renotate-random.js";

// What a movement is made of. All lengths are exact, in quarters from its beginning.

export type Instrument = "clarinet-bflat" | "clarinet-a" | "clarinet-eflat" | "bass-clarinet-bflat";

export interface SeatInstruments {
  /** What the part is called without its key: "Clarinet 1". */
  readonly chair: string;
  readonly instruments: readonly Instrument[];
}

export interface PlannedBar {
  readonly label: string;
  readonly beats: number;
  readonly beatType: number;
  readonly start: Fraction;
  readonly quarters: Fraction;
  /** What a pick-up lacks to a bar of its meter. */
  readonly missing: Fraction;
}

export interface PlannedTempo {
  readonly at: Fraction;
  /** Printed, printed with "ca.", or only played back. */
  readonly kind: "printed" | "loose" | "playback";
  readonly unit: "eighth" | "quarter" | "half";
  readonly dots: 0 | 1;
  readonly perMinute: number;
}

/** What is played without laying the instrument down. */
export interface PlannedStay {
  readonly instrument: Instrument;
  readonly from: Fraction;
  readonly to: Fraction;
  /** Words where the rest before it begins; empty where only the transposition tells. */
  readonly words: string;
}

export interface PlannedSeat {
  /** Which of the players. */
  readonly player: number;
  readonly partName: string;
  /** Empty for a part that rests throughout. */
  readonly stays: readonly PlannedStay[];
}

export interface PlannedMusic {
  /** A part alone, a full score, or a full score without a clarinet. */
  readonly kind: "part" | "score" | "tacet";
  readonly bars: readonly PlannedBar[];
  readonly tempi: readonly PlannedTempo[];
  readonly seats: readonly PlannedSeat[];
  /** Whether the first clarinet in it has "attacca" in the last bar. */
  readonly goesOn: boolean;
}

const METERS = [
  ...["4/4", "3/4", "2/4", "5/4", "2/2", "3/2"],
  ...["3/8", "5/8", "6/8", "7/8", "9/8", "12/8"],
];
const CHANGE_WORDS: Readonly<Record<Instrument, readonly string[]>> = {
  "clarinet-bflat": ["muta in Sib", "nimmt B-Klarinette", "change to Clarinet in B♭", ""],
  "clarinet-a": ["muta in La", "nimmt A-Klarinette", "change to Clarinet in A", ""],
  "clarinet-eflat": ["muta in Mib", "nimmt Es-Klarinette", "change to Clarinet in E♭", ""],
  "bass-clarinet-bflat": ["muta in Clarinetto basso", "nimmt Bassklarinette", ""],
};
/**
 * Who has a bass clarinet too must be told the plain one by its name: in bass clef the bass is written a second
 * above its sound (common practice), so that neither "in Sib" nor the transposition tells the two apart.
 */
const PLAIN_WORDS = ["nimmt B-Klarinette", "change to Clarinet in B♭"];
const UNIT_QUARTERS = { eighth: "1/2", quarter: "1", half: "2" } as const;

/** Quarters a minute at which anybody would play. */
const [SLOWEST, FASTEST] = [40, 176];

export function planMusic(random: Random, players: readonly SeatInstruments[]): PlannedMusic {
  const kind = random.pick(["part", "part", "score", "score", "score", "tacet"] as const);
  const isPlayback = random.chance(0.1);
  const bars = planBars(random, isPlayback);
  const tempi = isPlayback
    ? [planTempo(random, new Fraction(0), "playback")]
    : planTempi(random, bars);
  const all = [...players.keys()];
  const playing =
    kind === "tacet"
      ? []
      : kind === "part"
        ? [random.pick(all)]
        : random.some(all, 1 + random.below(3));
  const seats = playing.map((player) => planSeat(random, player, players[player]!, bars));
  return { kind, bars, tempi, seats, goesOn: kind !== "tacet" && random.chance(0.15) };
}

/** Sections of a meter each, down to a bar. */
function planBars(random: Random, inOneMeter: boolean): readonly PlannedBar[] {
  const longest = inOneMeter ? Infinity : random.pick([1, 2, 5, Infinity]);
  const hasPickUp = random.chance(0.2);
  const count = 10 + random.below(22);
  const bars: PlannedBar[] = [];
  let start = new Fraction(0);
  let left = 0;
  let meter = "";
  for (let k = 0; k < count; k++) {
    if (left === 0) {
      meter = random.pick(METERS.filter((each) => each !== meter));
      left = longest === Infinity ? count : 1 + random.below(longest);
    }
    left--;
    const [beats = 4, beatType = 4] = meter.split("/").map(Number);
    const whole = new Fraction(4 * beats, beatType);
    const quarters = hasPickUp && k === 0 ? new Fraction(4, beatType) : whole;
    const label = String(hasPickUp ? k : k + 1);
    bars.push({ label, beats, beatType, start, quarters, missing: whole.sub(quarters) });
    start = start.add(quarters);
  }
  return bars;
}

export function lengthOf(bars: readonly PlannedBar[]): Fraction {
  const last = bars.at(-1)!;
  return last.start.add(last.quarters);
}

function planTempi(random: Random, bars: readonly PlannedBar[]): readonly PlannedTempo[] {
  const tempi = [planTempo(random, new Fraction(0))];
  const places = random.some([...bars.keys()].slice(1), random.below(5));
  for (const k of places) {
    const bar = bars[k]!;
    // Half of them inside a bar.
    const at = random.chance(0.5) ? bar.start : placeIn(random, bar);
    tempi.push(planTempo(random, at));
  }
  return tempi;
}

function planTempo(
  random: Random,
  at: Fraction,
  kind: PlannedTempo["kind"] = random.chance(0.2) ? "loose" : "printed",
): PlannedTempo {
  const unit =
    kind === "playback" ? "quarter" : random.pick(["eighth", "quarter", "half"] as const);
  const dots = kind !== "playback" && random.chance(0.25) ? 1 : 0;
  const unitQuarters = unitLength({ unit, dots }).valueOf();
  const lowest = Math.ceil(SLOWEST / unitQuarters);
  const highest = Math.floor(FASTEST / unitQuarters);
  return { at, kind, unit, dots, perMinute: lowest + random.below(highest - lowest + 1) };
}

/** Quarters of the note a tempo counts. */
export function unitLength({ unit, dots }: Pick<PlannedTempo, "unit" | "dots">): Fraction {
  const plain = new Fraction(UNIT_QUARTERS[unit]);
  return dots === 1 ? plain.mul(3).div(2) : plain;
}

/** A place inside a bar, on a note value of its meter or half of one. */
function placeIn(random: Random, { start, quarters, beatType }: PlannedBar): Fraction {
  const step = new Fraction(2, beatType);
  const steps = quarters.div(step).valueOf();
  return start.add(step.mul(1 + random.below(Math.max(1, steps - 1))));
}

function planSeat(
  random: Random,
  player: number,
  { chair, instruments }: SeatInstruments,
  bars: readonly PlannedBar[],
): PlannedSeat {
  const stays = random.chance(0.08) ? [] : planStays(random, instruments, bars);
  const opens = stays[0]?.instrument ?? instruments[0]!;
  return { player, partName: partNameOf(chair, opens), stays };
}

function partNameOf(chair: string, opens: Instrument): string {
  const key = { "clarinet-bflat": "B♭", "clarinet-a": "A", "clarinet-eflat": "E♭" };
  return opens === "bass-clarinet-bflat" ? "Bass Clarinet" : `${chair} in ${key[opens]}`;
}

/** Stays one after the other, with rests from none at all to many bars. */
function planStays(
  random: Random,
  instruments: readonly Instrument[],
  bars: readonly PlannedBar[],
): readonly PlannedStay[] {
  const total = lengthOf(bars);
  const stays: PlannedStay[] = [];
  let instrument = random.pick(instruments);
  let bar = random.chance(0.5) ? 0 : random.below(4);
  let from = random.chance(0.5) ? bars[bar]!.start : placeIn(random, bars[bar]!);
  const most = 1 + random.below(5);
  for (;;) {
    bar += 1 + random.below(4);
    const isLast = stays.length + 1 === most || bar >= bars.length;
    const endBar = Math.min(bar, bars.length - 1);
    const end = random.chance(0.4) ? bars[endBar]!.start : placeIn(random, bars[endBar]!);
    const to = end.compare(from) > 0 ? end : total;
    stays.push({
      instrument,
      from,
      to,
      words: planWords(random, instruments, stays.at(-1)?.instrument, instrument),
    });
    if (isLast || to.equals(total)) return stays;
    const restBars = random.pick([0, 1, 1, 2, 3, 5, 8]);
    bar = endBar + restBars;
    if (bar >= bars.length) return stays;
    const entry = random.chance(0.5) ? bars[bar]!.start : placeIn(random, bars[bar]!);
    // Now and then without any rest.
    from = entry.compare(to) > 0 ? entry : to;
    if (random.chance(0.75))
      instrument = random.pick(instruments.filter((id) => id !== instrument));
  }
}

function planWords(
  random: Random,
  instruments: readonly Instrument[],
  from: Instrument | undefined,
  to: Instrument,
): string {
  if (from === undefined || from === to) return "";
  const isPlain = to === "clarinet-bflat" && instruments.includes("bass-clarinet-bflat");
  return random.pick(isPlain ? PLAIN_WORDS : CHANGE_WORDS[to]);
}
