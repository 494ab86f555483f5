import type { Disagreement, Evidence, Hazard, Verdict } from "./finding.js";
import type { InstrumentId } from "./instrument.js";
import type { ChangeoverProfile } from "./profile.js";
import type { Advice, HeldPlace, InputFailure } from "./report.js";
import type { PartInfo } from "./score.js";
import type { PerformanceWishes } from "./tempo.js";
import type { PlaceOnPage, SecondsRange, TempoSource } from "./time.js";

// --- What is asked -------------------------------------------------------------------------------

/** What follows a movement: a pause that is assumed, one that is known, or the next movement at once. */
export type Gap =
  | { readonly kind: "usual" }
  | { readonly kind: "attacca" }
  | { readonly kind: "seconds"; readonly seconds: number };

/** One file of a work; it may hold several movements itself. */
export interface SeasonMovement {
  /** Empty where nothing names it: then the file does. */
  readonly title: string;
  /** Where it is read from. */
  readonly path: string;
  /** What it is called in the report: as the user gave it. */
  readonly file: string;
  /** The parts in question, as for `selectParts`; none for every clarinet. */
  readonly parts: readonly string[];
  /** Whether the section has nothing to play in it. */
  readonly tacet: boolean;
  /** Patterns of single players for this movement, by their names, before those of the season. */
  readonly partOf: Readonly<Record<string, string>>;
  /** What follows it; after the last movement, before the next work. */
  readonly after: Gap;
  readonly wishes: PerformanceWishes;
}

export interface SeasonWork {
  readonly title: string;
  readonly movements: readonly SeasonMovement[];
}

/** A concert: works in order. */
export interface SeasonProgramme {
  /** Empty where no programme is given: then the order of the works is none, and no change lies between them. */
  readonly name: string;
  readonly date: string;
  readonly works: readonly SeasonWork[];
}

/** Somebody of the section. */
export interface SeasonPlayer {
  readonly name: string;
  /** As for `selectParts`. */
  readonly part: string;
  /** On a staff that several read: which of them. */
  readonly staffPlayer?: number;
  readonly profile: ChangeoverProfile;
}

/** All that one table is made of. */
export interface Season {
  readonly name: string;
  readonly programmes: readonly SeasonProgramme[];
  /** None: every part is a player's, who is called by it ("Clarinet 2"). */
  readonly players: readonly SeasonPlayer[];
  /** The hands of whoever has no profile of their own. */
  readonly profile: ChangeoverProfile;
}

// --- The work on one file: plain data in, plain data out -----------------------------------------

/** Who is looked for in a file. */
export interface SeatWish {
  readonly player: string;
  /** Of the parts in question, as for `selectParts`. */
  readonly part: string;
  readonly staffPlayer?: number;
  readonly profile: ChangeoverProfile;
}

/** All that the audit of one file depends on, besides its bytes. */
export interface FileJob {
  readonly path: string;
  readonly file: string;
  readonly parts: readonly string[];
  /** Whether nobody is looked for: only its length is of interest. */
  readonly tacet: boolean;
  /** None: every part that is found is a seat. */
  readonly seats: readonly SeatWish[];
  readonly profile: ChangeoverProfile;
  readonly wishes: PerformanceWishes;
}

/** What one file gives. */
export interface FileAudit {
  readonly file: string;
  readonly title: string;
  readonly movement: string;
  /** In the order of the parts in the file. */
  readonly seats: readonly SeatAudit[];
  /** How long it lasts for somebody who has nothing in it; null where no part could be read. */
  readonly durationSeconds: SecondsRange | null;
  readonly errors: readonly SeatFailure[];
}

/** What could not be read or found, and for whom; for all where no player is named. */
export interface SeatFailure extends InputFailure {
  readonly player?: string;
}

/** One player's part of one file. */
export interface SeatAudit {
  readonly player: string;
  readonly part: Pick<PartInfo, "id" | "name" | "player">;
  readonly instruments: readonly InstrumentId[];
  readonly changes: readonly AuditedChange[];
  /** What the print may have wrong away from a change. */
  readonly faults: readonly Disagreement[];
  /** Null for a part without a note. */
  readonly edges: { readonly opens: Opening; readonly closes: Closing } | null;
  readonly durationSeconds: SecondsRange;
  /** Whether words near the end let the next movement follow at once. */
  readonly goesOn: boolean;
}

/** What holds a rest up, without its place. */
export type HeldSign = Pick<HeldPlace, "on" | "sign">;

/** A change as plain data. */
export interface AuditedChange {
  readonly from: InstrumentId;
  readonly to: InstrumentId;
  readonly leave: PlaceOnPage;
  readonly enter: PlaceOnPage;
  readonly rest: {
    readonly quarters: number;
    readonly counted: { readonly bars: number; readonly beats: number };
    /** By the notes; what is `pause` is not in it. */
    readonly seconds: SecondsRange;
    readonly tempoSource: TempoSource;
    /** Fermatas and the like in it, whose time is in no figure; the pauses between movements are not among them. */
    readonly held: readonly HeldSign[];
  };
  /** The pauses between movements and works in it, of which the verdict counts the short seconds; null for none. */
  readonly pause: { readonly seconds: SecondsRange; readonly assumed: boolean } | null;
  readonly neededSeconds: number;
  readonly lookUp: { readonly seconds: number; readonly bars: number };
  readonly verdict: Verdict;
  readonly hazards: readonly Hazard<PlaceOnPage>[];
  readonly evidence: readonly Evidence[];
  readonly disagreements: readonly Disagreement[];
  readonly advice: readonly Advice[];
}

/** The silence at one end of a movement. */
export interface EdgeRest {
  readonly quarters: number;
  readonly counted: { readonly bars: number; readonly beats: number };
  /** Grace notes before the entry are not taken off. */
  readonly seconds: SecondsRange;
  readonly tempoSource: TempoSource;
  /** The pauses of movements inside it, of a file that holds several. */
  readonly pauseSeconds: SecondsRange;
  readonly held: readonly HeldSign[];
  /** In the order of time; together they are the whole rest. */
  readonly steps: readonly RestStep[];
  /** Fermatas and the like in it. */
  readonly pauses: readonly {
    readonly hazard: Extract<Hazard<PlaceOnPage>, { readonly kind: "pause" }>;
    /** From the beginning of the rest, at the fast tempo. */
    readonly afterSeconds: number;
  }[];
}

/** A piece of a rest that has one meter and one tempo. */
export interface RestStep extends Surroundings {
  readonly at: PlaceOnPage;
  /** How many bars it is, or which part of one. */
  readonly bars: number;
  /** At the fast tempo. */
  readonly seconds: number;
}

/** Meter and tempo at a place. */
export interface Surroundings {
  readonly meter: string;
  /** The likely tempo in quarters a minute at the two ends of its stretch, which may be longer than the place. */
  readonly tempo: {
    readonly first: number;
    readonly last: number;
    /** As printed. */
    readonly text: string;
    /** Whether it begins here. */
    readonly isNew: boolean;
  };
}

/** Where a player first enters. */
export interface Opening extends Surroundings {
  readonly instrument: InstrumentId;
  readonly at: PlaceOnPage;
  /** What grace notes before the beat take off the rest. */
  readonly graceSeconds: number;
  readonly rest: EdgeRest;
  /** What on the page, or in the file, says which instrument it is. */
  readonly evidence: readonly Evidence[];
  /** Instruments that the transposition at the entry fits. */
  readonly transpositionFits: readonly InstrumentId[];
}

/** Where a player last leaves. */
export interface Closing extends Surroundings {
  readonly instrument: InstrumentId;
  readonly at: PlaceOnPage;
  readonly rest: EdgeRest;
  /** Words after the last note that ask for an instrument, and what they may mean. */
  readonly words: readonly {
    readonly evidence: Evidence;
    readonly means: readonly InstrumentId[];
  }[];
}

// --- What comes out ------------------------------------------------------------------------------

/** Where in the season something stands. */
export interface SeasonPlace {
  readonly programme: string;
  readonly date: string;
  readonly work: string;
  /** The title of the movement, or its number in the work. */
  readonly movement: string;
  readonly file: string;
}

/** A row of the table, in the order of the season: a change, or a file that could not be read. */
export type AuditRow = ChangeRow | ErrorRow;

export interface ChangeRow extends SeasonPlace {
  readonly kind: "change";
  readonly player: string;
  readonly part: string;
  /** Where the player enters, for a change between two movements or works. */
  readonly into: (SeasonPlace & { readonly across: "movements" | "works" }) | null;
  readonly change: AuditedChange;
}

export interface ErrorRow extends SeasonPlace {
  readonly kind: "error";
  /** Empty where it concerns all. */
  readonly player: string;
  readonly error: InputFailure;
}

export type VerdictCounts = Readonly<Record<Verdict, number>>;

/** One player in one movement. */
export interface PartSummary extends SeasonPlace {
  readonly player: string;
  readonly part: string;
  readonly instruments: readonly InstrumentId[];
  /** Of the changes inside it, and of the one from it into what follows. */
  readonly counts: VerdictCounts;
  /** The change with the least time to look up; null where there is none. */
  readonly tightest: ChangeRow | null;
  /** What the print may have wrong away from a change. */
  readonly faults: readonly Disagreement[];
  readonly durationSeconds: SecondsRange;
}

/** What a player takes to one programme. */
export interface KitList {
  readonly programme: string;
  readonly date: string;
  readonly player: string;
  readonly instruments: readonly {
    readonly instrument: InstrumentId;
    /** The works it is needed in. */
    readonly works: readonly string[];
  }[];
  /** Files of the programme that could not be read, in part or at all: what they need is not in the list. */
  readonly unreadFiles: number;
  /** Pegs: one for each instrument but the one in hand. */
  readonly stands: number;
  /** Instruments of the next movement that the player does not hold at the end of the one before. */
  readonly keepWarm: readonly {
    readonly instruments: readonly InstrumentId[];
    readonly during: Pick<SeasonPlace, "work" | "movement">;
    readonly for: Pick<SeasonPlace, "work" | "movement">;
  }[];
}

/** The whole season in one report. */
export interface SeasonReport {
  readonly season: string;
  /** Works and movements, those that could not be read among them. */
  readonly works: number;
  readonly movements: number;
  readonly rows: readonly AuditRow[];
  readonly parts: readonly PartSummary[];
  readonly kits: readonly KitList[];
}
