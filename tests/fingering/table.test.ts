import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { FINGERING_ROWS, TRILL_ROWS } from "../../src/fingering/boehm-data.js";
import { KEYS, LINKED_PAIRS, parseKeys, type KeyId } from "../../src/fingering/boehm-keys.js";
import { fingeringsOf, isFingeredHere, registerOf, TABLE } from "../../src/fingering/fingerings.js";
import { INSTRUMENTS } from "../../src/instruments/table.js";
import { midiNumber, parsePitch } from "../../src/theory/pitch.js";
import { TRANSCRIBED } from "./transcribed-charts.js";
import { corpusRoot } from "../support/corpus-root.js";

const set = (keys: readonly KeyId[]) => [...keys].sort().join(" ");
const midi = (name: string) => midiNumber(parsePitch(name));
const rowsOf = (note: number) => TABLE.filter((row) => row.midi === note);

describe("keys of the Boehm clarinet", () => {
  it("are 17 keys and 7 holes, each worked by one finger", () => {
    const kinds = Object.values(KEYS).map(({ kind }) => kind);
    expect(kinds.filter((kind) => kind === "key")).toHaveLength(17);
    expect(kinds.filter((kind) => kind === "hole")).toHaveLength(7);
  });

  it("have three pairs that either little finger may play", () => {
    for (const [left, right] of LINKED_PAIRS) {
      expect([KEYS[left].finger, KEYS[right].finger]).toEqual(["LL", "RL"]);
      expect(KEYS[left].description).toBe(KEYS[right].description);
    }
  });

  it("throw on a misprint", () => {
    expect(() => parseKeys("T L9")).toThrow("L9");
  });
});

describe("fingering table", () => {
  it("has every note of the written range of the clarinet, E3 to C7", () => {
    const notes = [...new Set(TABLE.map((row) => row.midi))];
    expect(notes).toEqual(Array.from({ length: 45 }, (_, k) => 52 + k));
    const { lowest, highest } = INSTRUMENTS["clarinet-bflat"];
    expect([notes[0], notes.at(-1)]).toEqual([midiNumber(lowest), midiNumber(highest)]);
  });

  it("names registers as players do", () => {
    expect(["E3", "F4", "F#4", "Bb4", "B4", "C6", "C#6", "G6", "Ab6"].map(midi).map(registerOf)).toEqual(
      ["chalumeau", "chalumeau", "throat", "throat", "clarion", "clarion", "altissimo", "altissimo", "extreme"],
    ); // prettier-ignore
  });

  // Counts of the reference list's own check against the two outside sources.
  it("has 52 standard fingerings, 48 in an outside source, 38 in both", () => {
    const standard = TABLE.filter(({ kind }) => kind === "standard");
    expect(standard).toHaveLength(52);
    expect(standard.filter(({ confirmed }) => confirmed >= 1)).toHaveLength(48);
    expect(standard.filter(({ confirmed }) => confirmed === 2)).toHaveLength(38);
    // The other four: the fork F-sharp 5, both E-flats 6, F-sharp 6.
    const unconfirmed = standard.filter(({ confirmed }) => confirmed === 0);
    expect(unconfirmed.map((row) => row.midi)).toEqual(["F#5", "Eb6", "Eb6", "F#6"].map(midi));
  });

  it("counts as confirmed what the letters of the sources say", () => {
    for (const { sources, confirmed } of TABLE) {
      expect([...sources].filter((letter) => "KDV".includes(letter))).toHaveLength(confirmed);
    }
  });

  it("has no fingering twice for a note, and one for two notes only", () => {
    const seen = new Map<string, number[]>();
    for (const row of TABLE)
      seen.set(set(row.keys), [...(seen.get(set(row.keys)) ?? []), row.midi]);
    const double = [...seen.values()].filter((notes) => notes.length > 1);
    // E-flat 6 by the sliver key: the data set has the same keys for A-flat 6.
    expect(double).toEqual([["Eb6", "Ab6"].map(midi)]);
  });

  it("never plays C-sharp 5 with the keys that give C5 in the trill row", () => {
    const keys = set(parseKeys("T R L1 L2 L3 R1 R2 R3 LFs RF"));
    expect(rowsOf(midi("C#5")).map((row) => set(row.keys))).toContain(keys);
    expect(fingeringsOf(midi("C#5")).map((row) => set(row.keys))).not.toContain(keys);
    expect(fingeringsOf(midi("C#5"))).toHaveLength(2);
    expect(fingeringsOf(midi("F#3"))).toHaveLength(2);
  });

  it("lets the right hand stay down on throat notes only", () => {
    const down = Array.from({ length: 45 }, (_, k) => 52 + k).filter((note) =>
      fingeringsOf(note).some(({ handDown }) => handDown),
    );
    expect(down).toEqual(["G4", "Ab4", "A4", "Bb4"].map(midi));
  });

  it("serves clarinets of all sizes", () => {
    expect(isFingeredHere("clarinet-a")).toBe(true);
    expect(isFingeredHere("bass-clarinet-bflat")).toBe(true);
    expect(isFingeredHere("flute")).toBe(false);
  });
});

describe("the twelfth rule", () => {
  const pairs = Array.from({ length: 14 }, (_, k) => 52 + k);

  it.each(pairs)("MIDI %i with the register key is a twelfth higher", (low) => {
    const above = rowsOf(low + 19).map((row) => set(row.keys));
    for (const { keys } of rowsOf(low)) expect(above).toContain(set([...keys, "R"]));
  });

  it("holds within each outside source by itself where it has both notes", () => {
    const holdsIn = (letters: string) =>
      pairs.filter((low) =>
        rowsOf(low).some(
          (row) =>
            [...row.sources].some((letter) => letters.includes(letter)) &&
            rowsOf(low + 19).some(
              (high) =>
                set(high.keys) === set([...row.keys, "R"]) &&
                [...high.sources].some((letter) => letters.includes(letter)),
            ),
        ),
      );
    // Figures of the reference list: data set 13 (D5 lacks the thumb there), transcription 12 (it
    // has no A-flat 3 and no D4), one of them 14 of 14.
    expect(pairs.filter((low) => !holdsIn("DV").includes(low))).toEqual([midi("G3")]);
    expect(pairs.filter((low) => !holdsIn("K").includes(low))).toEqual([midi("Ab3"), midi("D4")]);
  });

  it("has no partners for the throat notes but the side F-sharp", () => {
    const keys = set(parseKeys("T R S1 S2"));
    expect(rowsOf(midi("C#6")).map((row) => set(row.keys))).toContain(keys);
  });

  // The fifth harmonic: 28 semitones up, left index open, the little finger's vent or not.
  it.each(["A3", "Bb3", "B3", "C4", "C#4", "D4"].map(midi))(
    "MIDI %i with the register key and the index open is the fifth harmonic",
    (low) => {
      const above = rowsOf(low + 28).map(({ keys }) => set(keys.filter((key) => key !== "RGs")));
      const parents = rowsOf(low).map(({ keys }) =>
        set([...keys.filter((key) => key !== "L1"), "R"]),
      );
      expect(parents.some((keys) => above.includes(keys))).toBe(true);
    },
  );
});

describe("against the transcribed Klosé and Magnani charts", () => {
  /** With each linked key as the left one, as the transcription has them. */
  const merged = (keys: readonly KeyId[]) =>
    set(keys.map((key) => LINKED_PAIRS.find(([, right]) => right === key)?.[0] ?? key));
  const theirs = new Map(
    TRANSCRIBED.map(([written, all]) => [
      midi(written),
      all.map((keys) => merged(parseKeys(keys))),
    ]),
  );

  it("has there every row that names them as its source, and no other of its range", () => {
    const unnamed = TABLE.filter(({ keys, sources, midi: note }) => {
      const found = theirs.get(note)?.includes(merged(keys)) ?? false;
      return found !== sources.includes("K");
    });
    expect(unnamed).toEqual([]);
  });

  it("leaves out 18 of theirs: shading and trill fingerings, and labels that are slips", () => {
    const ours = new Set(TABLE.map((row) => `${row.midi} ${merged(row.keys)}`));
    const left = TRANSCRIBED.flatMap(([written, all]) =>
      all
        .filter((keys) => !ours.has(`${midi(written)} ${merged(parseKeys(keys))}`))
        .map((keys) => `${written}: ${keys}`),
    );
    expect(left).toEqual([
      "G3: T L1 L2 L3 R1 R2 R3 RGs", // the keys of G-sharp 3
      "C4: T L1 L2", // the keys of D4
      "F4: T L1 L2 LS S2",
      "F#4: T S2",
      "G4: L3",
      "G4: Gs T",
      "G#4: Gs T S2",
      "A4: L3 S3",
      "A4: A L3",
      "A#4: A L3 S3",
      "B4: A L3 S4",
      "B4: R A L3 S3",
      "C5: R A L3 S4",
      "G5: R T L1 L2 L3 Cs R1",
      "A5: R T L1 L2 L3 S1",
      "A#5: R T L1 L2", // the keys of A5
      "A#5: R T L2 L3 Cs",
      "B5: R T L2",
    ]);
  });

  it("has the twelfth rule there for 12 pairs of 14", () => {
    const holds = (low: number) =>
      theirs.get(low)?.some((keys) => {
        const withRegister = set(parseKeys(`${keys} R`));
        return theirs.get(low + 19)?.includes(withRegister) ?? false;
      }) ?? false;
    const fails = Array.from({ length: 14 }, (_, k) => 52 + k).filter((low) => !holds(low));
    expect(fails).toEqual([midi("Ab3"), midi("D4")]);
  });

  it("has the top side key for C5 beside A and the register key, as in our trill fingering", () => {
    expect(theirs.get(midi("C5"))).toContain(set(parseKeys("R A L3 S4")));
  });
});

interface Reference {
  readonly notes: readonly {
    readonly written: string;
    readonly fingerings: readonly {
      readonly keys: readonly string[];
      readonly kind: string;
      readonly confirmed_by_datasets: number;
    }[];
  }[];
  readonly trill_fingerings: readonly {
    readonly lower: string;
    readonly upper: string;
    readonly hold: readonly string[];
    readonly move: readonly string[];
  }[];
  readonly finger_of_id: Readonly<Record<string, string>>;
}

const path = join(corpusRoot(), "reference", "fingering_boehm.json");

describe.skipIf(!existsSync(path))("against the reference list", () => {
  const load = () => JSON.parse(readFileSync(path, "utf8")) as Reference;

  it("has the same rows in the same order", () => {
    const theirs = load().notes.flatMap(({ written, fingerings }) =>
      fingerings.map(({ keys, kind, confirmed_by_datasets: confirmed }) =>
        [written, keys.join(" "), kind.replace(" ", "-"), confirmed],
      ),
    ); // prettier-ignore
    const ours = FINGERING_ROWS.map(([written, keys, kind, , , count]) => [
      written,
      keys,
      kind,
      count,
    ]);
    expect(ours).toEqual(theirs);
  });

  it("has the same trill fingerings", () => {
    const theirs = load().trill_fingerings.map(({ lower, upper, hold, move }) => [
      lower,
      upper,
      hold.join(" "),
      move.join(" "),
    ]);
    expect(TRILL_ROWS.map((row) => row.slice(0, 4))).toEqual(theirs);
  });

  it("gives each key to the same finger", () => {
    const fingers = Object.fromEntries(
      Object.entries(KEYS).map(([id, { finger }]) => [id, finger]),
    );
    expect(fingers).toEqual(load().finger_of_id);
  });
});
