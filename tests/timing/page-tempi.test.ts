import { describe, expect, it } from "vitest";
import { bar, direction, expectRange, factorsOf, figuresOf, tempiOf } from "./marks.js";
import { playback } from "./times.js";

// Every range is quarters a minute: slow, likely, fast. The shares are those of tempo-range.ts.

/** What a playback number may stand for. */
const played = (number: number) => [0.5 * number, 0.72 * number, 1.11 * number];
/** The same range, moved until its fast end is so many quarters a minute. */
const upTo = (fast: number) => played(fast / 1.11);

const ALLEGRO = figuresOf("Allegro");
const ADAGIO = figuresOf("Adagio");

describe("a printed number", () => {
  it.each([
    // 6 % either way
    ["plain", ["q=100"], [94, 100, 106], "quarter = 100"],
    // dotted quarter = 60 is quarter = 90
    ["of a dotted beat", ["q.=60"], [84.6, 90, 95.4], "dotted quarter = 60"],
    // 10 % either way
    ["with ca.", ["q=ca. 100"], [90, 100, 110], "quarter = ca. 100"],
    ["with a tilde", ["q=~100"], [90, 100, 110], "quarter = ~100"],
    // As it stands; the middle is the likely one
    ["as a range", ["h=50-56"], [100, 106, 112], "half = 50-56"],
    ["beside words", ["Adagio", "q=100"], [94, 100, 106], "Adagio (quarter = 100)"],
    // Brackets are the editor's, parentheses are not
    ["in square brackets", ["[", "q=100", "]"], [90, 100, 110], "[quarter = 100]"],
    [
      "bracketed beside words",
      ["Adagio [", "q=100", "]"],
      [90, 100, 110],
      "Adagio [quarter = 100]",
    ],
    ["in parentheses", ["Adagio (", "q=100", ")"], [94, 100, 106], "Adagio (quarter = 100)"],
  ])("%s", (_, pieces, range, text) => {
    const { inBars } = tempiOf([bar("4/4", direction(...pieces), 4)]);
    expectRange(inBars[0]?.from, range);
    expect(inBars[0]).toMatchObject({ source: "metronome", text });
    expect(inBars[0]).not.toHaveProperty("bend");
  });

  it("is not changed by a playback number that repeats it", () => {
    // 121 is off by less than 2 %, 125 by more.
    const { map, inBars } = tempiOf([
      bar("4/4", "q=120", 4),
      bar("4/4", playback(120), 4),
      bar("4/4", playback(121), 4),
      bar("4/4", playback(125), 4),
    ]);
    expect(map.stretches).toHaveLength(2);
    expect(inBars[2]).toMatchObject({ source: "metronome", text: "quarter = 120" });
    expectRange(inBars[2]?.from, [112.8, 120, 127.2]);
    expect(inBars[3]?.source).toBe("sound");
    expectRange(inBars[3]?.from, played(125));
  });
});

describe("a playback number", () => {
  it("stands for a range by itself", () => {
    const { inBars } = tempiOf([bar("4/4", playback(120), 4)]);
    expectRange(inBars[0]?.from, [60, 86.4, 133.2]);
    expect(inBars[0]).toMatchObject({ source: "sound", text: "playback: quarter = 120" });
  });

  it.each([
    // Up to 159.84, which reaches what the tables give for the word in quarters
    ["Allegro", 144, "4/4", played(144)],
    // In halves the tables begin at twice as much: moved up until it touches that
    ["Allegro", 144, "2/2", upTo(2 * ALLEGRO.low)],
    // The same in dotted quarters
    ["Allegro", 144, "6/8", upTo(1.5 * ALLEGRO.low)],
    // A beat shorter than a quarter asks for nothing more
    ["Allegro", 144, "5/8", played(144)],
    // 44.4 at the most is far too slow for the word, but no word moves a number by more than 1.5
    ["Allegro", 40, "4/4", played(60)],
    // From 120 up is far too quick for the word: 1.5 again
    ["Adagio", 240, "4/4", played(160)],
    // A little too quick: moved down until its slow end touches the table's quick figure
    ["Adagio", 2.1 * ADAGIO.high, "4/4", played(2 * ADAGIO.high)],
    // Half as much again in dotted quarters, so there it stays
    ["Adagio", 2.1 * ADAGIO.high, "6/8", played(2.1 * ADAGIO.high)],
    // Words that are no tempo have no say
    ["Theme", 40, "4/4", played(40)],
  ])("%s, %d in %s", (words, number, meter, range) => {
    const { inBars } = tempiOf([bar(meter, direction(words, playback(number)), 4)]);
    expectRange(inBars[0]?.from, range);
    expect(inBars[0]?.source).toBe("sound");
    expect(inBars[0]?.text).toMatch(new RegExp(`^${words} \\(playback: quarter = `));
  });

  it("is moved by the word onto the very figure of the table", () => {
    const { inBars } = tempiOf([bar("2/2", direction("Allegro", playback(144)), 4)]);
    // The slowest figure printed for an Allegro is 116: half = 116.
    expect(inBars[0]?.from.fast).toBeCloseTo(232, 9);
  });
});

describe("a tempo word alone", () => {
  it.each([
    // The table's quick figure is the fast end
    ["Allegro", "4/4", upTo(ALLEGRO.high)],
    ["Adagio", "3/4", upTo(ADAGIO.high)],
    // Another beat: the slow figure, counted in the longer of the beat and the quarter
    ["Allegro", "2/2", upTo(2 * ALLEGRO.low)],
    ["Allegro", "6/8", upTo(1.5 * ALLEGRO.low)],
    ["Allegro", "3/8", upTo(ALLEGRO.low)],
    // Alla breve is counted in halves, whatever the meter says
    ["Allegro alla breve", "4/4", upTo(2 * ALLEGRO.low)],
  ])("%s in %s", (words, meter, range) => {
    const { inBars } = tempiOf([bar(meter, words, 4)]);
    expectRange(inBars[0]?.from, range);
    expect(inBars[0]).toMatchObject({ source: "words", text: words });
  });

  it("is the tempo that was printed with the same word before", () => {
    const { inBars } = tempiOf([
      bar("4/4", direction("Allegro", "q=ca. 100"), 4),
      bar("4/4", direction("Adagio", "q=50"), 4),
      bar("4/4", "Allegro", 4),
      bar("4/4", "Andante", 4),
    ]);
    expectRange(inBars[2]?.from, [90, 100, 110]);
    expect(inBars[2]).toMatchObject({ source: "metronome", text: "Allegro, as at bar 1" });
    expect(inBars[3]).toMatchObject({ source: "words", text: "Andante" });
  });

  it("is another tempo where the file plays another number beside it", () => {
    const { inBars } = tempiOf([
      bar("4/4", direction("Allegro", "q=100"), 4),
      bar("4/4", direction("Adagio", "q=50"), 4),
      bar("4/4", direction("Allegro", playback(130)), 4),
    ]);
    expectRange(inBars[2]?.from, played(130));
    expect(inBars[2]?.source).toBe("sound");
  });

  it("changes nothing where it does not speak of the tempo", () => {
    const { map } = tempiOf([bar("4/4", "q=100", 4), bar("4/4", "con sordino", 4)]);
    expect(map.stretches).toHaveLength(1);
  });
});

describe("a step", () => {
  const [mosso, meno] = [factorsOf("Più mosso"), factorsOf("Meno mosso")];

  it.each([
    // Each end of 94, 100, 106 by the documented factor for it
    ["Più mosso", [94 * mosso.slow, 100 * mosso.likely, 106 * mosso.fast], "words"],
    ["Meno mosso", [94 * meno.slow, 100 * meno.likely, 106 * meno.fast], "words"],
    // An exact one is as much to be relied on as what it starts from
    ["Doppio movimento", [188, 200, 212], "metronome"],
    ["Doppio più lento", [47, 50, 53], "metronome"],
  ])("%s without a number", (words, range, source) => {
    const { inBars } = tempiOf([bar("4/4", "q=100", 4), bar("4/4", words, 4)]);
    expectRange(inBars[1]?.from, range);
    expect(inBars[1]).toMatchObject({ source, text: words });
  });

  it.each([
    // 80 to 177.6 by the number, but not below 112.8, which is the slow end of 120 before
    ["Più mosso", 160, [112.8, Math.sqrt(112.8 * 177.6), 177.6]],
    // 45 to 99.9 by the number, all of it slower than 120
    ["Meno mosso", 90, [45, Math.sqrt(45 * 99.9), 99.9]],
    // 57.5 to 127.65, but no quicker than 120
    ["Meno mosso", 115, [57.5, Math.sqrt(57.5 * 120), 120]],
  ])("%s with a playback number that agrees: %d", (words, number, range) => {
    const { inBars } = tempiOf([
      bar("4/4", "q=120", 4),
      bar("4/4", direction(words, playback(number)), 4),
    ]);
    expectRange(inBars[1]?.from, range);
    expect(inBars[1]?.source).toBe("sound");
  });

  it.each([
    ["Più mosso", 100, mosso],
    ["Più mosso", 120, mosso],
    ["Meno mosso", 150, meno],
  ])("%s with a playback number that does not: %d", (words, number, by) => {
    const { inBars } = tempiOf([
      bar("4/4", "q=120", 4),
      bar("4/4", direction(words, playback(number)), 4),
    ]);
    expectRange(inBars[1]?.from, [112.8 * by.slow, 120 * by.likely, 127.2 * by.fast]);
    expect(inBars[1]?.source).toBe("words");
  });

  it("an exact one keeps to its factor with a playback number that says the same", () => {
    const { inBars } = tempiOf([
      bar("4/4", "q=100", 4),
      bar("4/4", direction("Doppio movimento", playback(200)), 4),
    ]);
    expectRange(inBars[1]?.from, [188, 200, 212]);
  });
});
