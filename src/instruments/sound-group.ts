import type { SoundGroup } from "../model/exposure.js";
import type { PartInfo } from "../model/score.js";

/** By the standard sounds of MusicXML, whose first word is the family. */
const BY_SOUND: readonly (readonly [SoundGroup, RegExp])[] = [
  ["brass", /^brass\b/],
  ["strings", /^strings\b/],
];

// Names in English, German, Italian, French and Spanish. Common practice, no source.
const NO_BRASS =
  /\b(?:english horn|cor anglais|englisch-?horn|corno inglese|basset\W?horn|corno di bassetto|cor de basset)\b/i;
const BRASS =
  /(?<!\p{L})(?:horns?|hörner|horn|corn[oi]|cors?|trompas?|trumpets?|trompete[ns]?|trompettes?|trompetas?|tromb[ae]|trombon[eio]s?|trombones?|posaunen?|tubas?|tuben|cornets?|cornett[aei]|kornette?|flugelhorns?|flügelhörner|flügelhorn|euphoniums?)(?!\p{L})/iu;
const STRINGS =
  /(?<!\p{L})(?:violins?|violin[oie]s?|violine[n]?|violons?|geigen?|violas?|viole|bratschen?|violoncell[oie]s?|violoncelles?|celli|cell[o]s?|contrab[ae]ss[eio]?s?|contrabajos?|contrebasses?|kontrab[aä]sse?|double bass(?:es)?|strings)(?!\p{L})/iu;

/** What a part is to whoever plays against it: by its sounds, else by its name. */
export function soundGroup({ name, scoreInstruments }: PartInfo): SoundGroup {
  const sound = scoreInstruments.find((each) => each.sound !== undefined)?.sound;
  if (sound !== undefined)
    return BY_SOUND.find(([, pattern]) => pattern.test(sound))?.[0] ?? "other";
  if (BRASS.test(name.replace(NO_BRASS, ""))) return "brass";
  return STRINGS.test(name) ? "strings" : "other";
}
