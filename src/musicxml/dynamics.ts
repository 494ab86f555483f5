import {
  DYNAMICS,
  type Bar,
  type Dynamic,
  type PrintedDynamic,
  type Swell,
} from "../model/score.js";
import { children, childText, type XmlElement } from "./elements.js";
import { atBarline, comparePositions, placeAll, position, type Unplaced } from "./placing.js";

/**
 * The level that lasts after a mark of MusicXML 4.0, `<dynamics>`, where it is not the mark itself.
 * An accent (sf, sfz, sffz, fz, rf, rfz) leaves the level as it was, and niente (n) names none.
 */
const REMAINING: ReadonlyMap<string, Dynamic> = new Map<string, Dynamic>([
  ["ppppp", "pppp"],
  ["pppppp", "pppp"],
  ["fffff", "ffff"],
  ["ffffff", "ffff"],
  ["fp", "p"],
  ["sfp", "p"],
  ["sfzp", "p"],
  ["sfpp", "pp"],
  // "Piano forte" by the standard: soft, then loud.
  ["pf", "f"],
]);

/**
 * After these the letters name no level (common practice, no source): "più f" is louder than before,
 * wherever that was, and "in f" is a key.
 */
const NO_LEVEL_AFTER: ReadonlySet<string> = new Set([
  ...["più", "piu", "meno", "poco", "quasi", "mezzo", "non"],
  ...["plus", "moins", "peu", "presque", "mehr", "weniger", "etwas", "nicht", "more", "less"],
  ...["in", "en", "nach", "auf"],
]);

/** The level that lasts after a direction, in signs or words: "p dolce", "sempre pp", "fp". */
export function readDirectionLevel(direction: XmlElement): Dynamic | undefined {
  const words: string[] = [];
  for (const type of children(direction, "direction-type")) {
    for (const each of type.children) {
      if (each.name === "words") words.push(...splitWords(each.text));
      else if (each.name === "dynamics") words.push(...dynamicWords(each));
    }
  }
  return lastLevel(words);
}

/** The level that lasts after `<dynamics>` in the `<notations>` of a note. */
export function readNotedLevel(dynamics: XmlElement): Dynamic | undefined {
  return lastLevel(dynamicWords(dynamics));
}

/** Signs by their names, and text of any other kind word by word. */
function dynamicWords(dynamics: XmlElement): readonly string[] {
  return dynamics.children.flatMap(({ name, text }) =>
    name === "other-dynamics" ? splitWords(text) : [name],
  );
}

const LONGEST_TEXT = 200;

/** A word with a full stop stays another word: "p. 12" is a page. */
function splitWords(text: string): readonly string[] {
  // No level stands in a text longer than any instruction.
  if (text.length > LONGEST_TEXT) return [];
  return text.split(/[\s,;:()[\]]+/).filter(Boolean);
}

function lastLevel(words: readonly string[]): Dynamic | undefined {
  let last: Dynamic | undefined;
  words.forEach((word, k) => {
    const level = levelNamed(word);
    if (level && !NO_LEVEL_AFTER.has(words[k - 1]?.toLowerCase() ?? "")) last = level;
  });
  return last;
}

/** Small letters only: capitals are keys and players. */
function levelNamed(word: string): Dynamic | undefined {
  return DYNAMICS.find((each) => each === word) ?? REMAINING.get(word);
}

type Place = Omit<Unplaced<unknown>, "value">;

interface Wedge extends Pick<Swell, "kind" | "staff"> {
  readonly from: Place;
}

/** The dynamics of a part, gathered in the order of the file. */
export class DynamicSigns {
  private readonly levels: Unplaced<Omit<PrintedDynamic, "at">>[] = [];
  private readonly wedges: (Wedge & { readonly to: Place })[] = [];
  /** Hairpins that are not closed yet, by their number. */
  private readonly open = new Map<string, Wedge>();

  /** Takes in `<dynamics>` in the `<notations>` of a note. */
  addNoted(dynamics: XmlElement, at: Place): void {
    const value = readNotedLevel(dynamics);
    if (value) this.levels.push({ ...at, value: { value } });
  }

  addDirection(direction: XmlElement, at: Place): void {
    const staffNumber = Number(childText(direction, "staff"));
    const staff = staffNumber > 0 ? { staff: staffNumber } : {};
    const value = readDirectionLevel(direction);
    if (value) this.levels.push({ ...at, value: { value, ...staff } });
    for (const type of children(direction, "direction-type")) {
      for (const wedge of children(type, "wedge")) this.addWedge(wedge, at, staff);
    }
  }

  /** MusicXML 4.0, `<wedge>`: those open at the same time differ by number; one never closed is left out. */
  private addWedge({ attributes }: XmlElement, at: Place, staff: Pick<Swell, "staff">): void {
    const { type, number = "1" } = attributes;
    if (type === "crescendo" || type === "diminuendo") {
      this.open.set(number, { from: at, kind: type, ...staff });
    } else if (type === "stop") {
      const wedge = this.open.get(number);
      if (wedge) this.wedges.push({ ...wedge, to: at });
      this.open.delete(number);
    }
  }

  /** Everything in the order of the page, now that the lengths of the bars are known. */
  placed(bars: readonly Bar[]): {
    readonly dynamics: readonly PrintedDynamic[];
    readonly swells: readonly Swell[];
  } {
    const swells = this.wedges.map(({ from, to, ...rest }) => ({
      from: position(bars, from.barIndex, from.offset),
      to: position(bars, to.barIndex, to.offset),
      ...rest,
    }));
    return {
      dynamics: placeAll(bars, this.levels.map(atBarline)).map(({ at, value }) => ({
        at,
        ...value,
      })),
      swells: swells.sort((a, b) => comparePositions(a.from, b.from)),
    };
  }
}
