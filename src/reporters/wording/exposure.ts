import type { Doubling, Exposure, PlayingPart } from "../../model/exposure.js";
import { groupBy } from "../../theory/search.js";
import { clean } from "../util/clean.js";

/** More names are no help. */
const MOST_NAMES = 3;

/**
 * How an entry lies, in one line: "exposed: alone with the strings, you at pp, leading", "covered: f tutti,
 * doubled by Flute 1 an octave above".
 */
export function exposureText(exposure: Exposure): string {
  const { kind, playing, doubledBy, partCount, dynamic, role } = exposure;
  const own = dynamic.own ? [`you at ${dynamic.own}`] : [];
  const count = `${playing.length} of ${partCount} other parts`;
  const doubled = doubledBy.length > 0 ? [doublingText(doubledBy)] : [];
  const line =
    role.value === "unknown" ? [] : [role.value === "leading" ? "leading" : "accompanying"];
  switch (kind) {
    case "alone":
      return ["exposed: alone", ...own].join(", ");
    case "small-group":
      return [`exposed: ${companyText(playing)}`, ...own, ...line].join(", ");
    case "doubled":
      return [doublingText(doubledBy), ...own, ...line, `${count} play`].join(", ");
    case "covered": {
      const isTutti = 2 * playing.length >= partCount;
      const loudest = dynamic.others ?? "";
      const cover = isTutti ? `${loudest} tutti` : `${loudest} brass`;
      return [`covered: ${cover}`, ...doubled, ...line].join(", ");
    }
    case "among-others": {
      const others = dynamic.others ? `, at most ${dynamic.others}` : "";
      return [`among others: ${count} play${others}`, ...own, ...line].join(", ");
    }
  }
}

/** "alone with the strings", "only with Flute 1, Bassoon 1 and the strings". */
function companyText(playing: readonly PlayingPart[]): string {
  const strings = playing.filter(({ group }) => group === "strings");
  const others = playing.filter(({ group }) => group !== "strings");
  const body = strings.length > 1 ? ["the strings"] : strings.map(({ name }) => clean(name));
  if (others.length === 0) return `alone with ${body.join("")}`;
  return `only with ${list([...others.map(({ name }) => clean(name)), ...body])}`;
}

/** "doubled by Flute 1 an octave above, Oboe 1 in unison". */
function doublingText(doubledBy: readonly Doubling[]): string {
  const shown = doubledBy.slice(0, MOST_NAMES);
  const groups = [...groupBy(shown, ({ octaves }) => octaves)].map(
    ([octaves, group]) => `${list(group.map(({ name }) => clean(name)))} ${intervalText(octaves)}`,
  );
  const more = doubledBy.length - shown.length;
  return `doubled by ${[...groups, ...(more > 0 ? [`${more} more`] : [])].join(", ")}`;
}

const OCTAVES = ["", "an octave", "two octaves", "three octaves", "four octaves"];

function intervalText(octaves: number): string {
  if (octaves === 0) return "in unison";
  const size = Math.abs(octaves);
  return `${OCTAVES[size] ?? `${size} octaves`} ${octaves > 0 ? "above" : "below"}`;
}

/** "a, b and c"; a name that comes twice is said once. */
function list(texts: readonly string[]): string {
  const all = [...new Set(texts)];
  const last = all.pop();
  return all.length > 0 ? `${all.join(", ")} and ${last}` : (last ?? "");
}
