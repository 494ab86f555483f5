import { InputError } from "../model/input-error.js";
import type { InstrumentFamily, InstrumentId } from "../model/instrument.js";
import type { PartInfo } from "../model/score.js";
import {
  instrumentsNamed,
  isClarinetName,
  isDoublerChair,
  isWindDoublerName,
  readInstrumentName,
  readInstrumentNames,
} from "./names.js";
import { INSTRUMENTS, instrumentsForSound } from "./table.js";

/**
 * The parts asked for: by id, by name, or by a pattern in which `*` stands for any text.
 * Case does not matter; a text without `*` that is no id or whole name is looked for inside the names.
 * Without patterns every clarinet part is taken, else every part of a player who may double.
 *
 * @throws InputError `no-matching-part` listing the parts there are
 */
export function selectParts<P extends PartInfo>(
  parts: readonly P[],
  patterns: readonly string[],
): readonly P[] {
  if (patterns.length > 0) {
    const chosen = new Set<P>();
    for (const pattern of patterns) {
      const found = matching(parts, pattern);
      if (found.length === 0) {
        throw new InputError("no-matching-part", `no part matches "${pattern}"; ${listed(parts)}`);
      }
      for (const part of found) chosen.add(part);
    }
    return parts.filter((part) => chosen.has(part));
  }
  const clarinets = parts.filter(isForClarinet);
  if (clarinets.length > 0) return clarinets;
  const doublers = parts.filter(isForDoubler);
  if (doublers.length > 0) return doublers;
  throw new InputError("no-matching-part", `no part is for a woodwind player; ${listed(parts)}`);
}

/**
 * The parts whose players may have an instrument of one of some families, by name or sound. A chair that may
 * hold any woodwind is among them.
 */
export function partsOfFamilies<P extends PartInfo>(
  parts: readonly P[],
  families: ReadonlySet<InstrumentFamily>,
): readonly P[] {
  const isOfFamily = (id: InstrumentId) => families.has(INSTRUMENTS[id].family);
  return parts.filter(({ name, scoreInstruments }) => {
    const names = [name, ...scoreInstruments.map((each) => each.name)];
    const named = names.flatMap(readInstrumentNames).flatMap(instrumentsNamed);
    const sounding = scoreInstruments.flatMap(({ sound }) =>
      sound === undefined ? [] : instrumentsForSound(sound).map(({ id }) => id),
    );
    return [...named, ...sounding].some(isOfFamily) || isDoublerChair(name);
  });
}

/**
 * Of some parts those that a player reads: where parts number their players, those with that number; else
 * all, since each may be a staff that several share.
 *
 * @throws InputError `no-matching-part` when the parts are all for other players
 */
export function partsOfPlayer<P extends PartInfo>(
  parts: readonly P[],
  player: number,
): readonly P[] {
  const playersOf = ({ name }: P) => readInstrumentName(name)?.players ?? [];
  const own = parts.filter((part) => playersOf(part).includes(player));
  if (own.length > 0) return own;
  if (parts.every((part) => playersOf(part).length === 0)) return parts;
  throw new InputError("no-matching-part", `no part is for player ${player}; ${listed(parts)}`);
}

function isForClarinet(part: PartInfo): boolean {
  return isFor(part, isClarinetOrChair, /^wind\.reed\.(?:clarinet|basset-horn)/);
}

function isClarinetOrChair(text: string): boolean {
  return isClarinetName(text) || isDoublerChair(text);
}

function isForDoubler(part: PartInfo): boolean {
  return isFor(part, isWindDoublerName, /^wind\.(?:reed|flutes)\./);
}

function isFor(part: PartInfo, isName: (text: string) => boolean, sound: RegExp): boolean {
  const names = [part.name, ...part.scoreInstruments.map(({ name }) => name)];
  if (names.some(isName)) return true;
  return part.scoreInstruments.some(
    (each) =>
      each.sound !== undefined &&
      sound.test(each.sound) &&
      instrumentsForSound(each.sound).length > 0,
  );
}

function matching<P extends PartInfo>(parts: readonly P[], pattern: string): readonly P[] {
  const wanted = fold(pattern);
  if (wanted === "") return [];
  const byId = parts.filter(({ id }) => fold(id) === wanted);
  if (byId.length > 0) return byId;
  const whole = parts.filter(({ name }) => fold(name) === wanted);
  if (whole.length > 0) return whole;
  if (!wanted.includes("*")) return parts.filter(({ name }) => fold(name).includes(wanted));
  const pieces = wanted.split("*");
  return parts.filter(({ name }) => fitsPieces(fold(name), pieces));
}

/** Whether the pieces stand in the text in order, the first at its start and the last at its end. */
function fitsPieces(text: string, pieces: readonly string[]): boolean {
  const [first = "", ...rest] = pieces;
  const last = rest.pop() ?? "";
  if (!text.startsWith(first) || !text.endsWith(last)) return false;
  let from = first.length;
  for (const piece of rest) {
    const at = text.indexOf(piece, from);
    if (at < 0) return false;
    from = at + piece.length;
  }
  return from <= text.length - last.length;
}

/** Lower case, with the flats and spaces of names made alike: "B♭ Clarinet" and "Bb clarinet". */
function fold(text: string): string {
  return text.toLowerCase().replace(/♭/g, "b").replace(/♯/g, "#").replace(/\s+/g, " ").trim();
}

const MOST_LISTED = 40;

function listed(parts: readonly PartInfo[]): string {
  const names = parts.slice(0, MOST_LISTED).map(({ id, name }) => (name ? `${id} ${name}` : id));
  const more = parts.length > MOST_LISTED ? `, and ${parts.length - MOST_LISTED} more` : "";
  return `there are: ${names.join(", ")}${more}`;
}
