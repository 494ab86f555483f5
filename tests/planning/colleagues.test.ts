import { describe, expect, it } from "vitest";
import { analysisContext, reportOn } from "../../src/analyses/index.js";
import { playerPart } from "../../src/analyses/player-part.js";
import { colleagueFinder } from "../../src/planning/find-colleagues.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { ColleagueTakesBars, PlanWishes } from "../../src/model/plan.js";
import { openScore } from "../../src/musicxml/document.js";
import { planPart } from "../../src/planning/plan-part.js";
import { noticeText } from "../../src/reporters/wording/notices.js";
import { partName } from "../../src/reporters/wording/parts.js";
import { planAdviceText } from "../../src/reporters/wording/plans.js";
import {
  A,
  attributes,
  B_FLAT,
  BASS,
  DIVISIONS,
  metronome,
  note,
  rest,
  scoreXml,
  words,
  type PartXml,
} from "../support/score-xml.js";

// All scores here are in 4/4 at quarter = 120: a bar lasts 1.887 s at the fast end of the tempo, a quarter
// 0.472 s. The usual hands need 3.5 s for B-flat and A: 5.25 s is workable (see `changeVerdict`).

const C = [0, 0] as const;
const STAYS: PlanWishes = {
  prefer: "balanced",
  keep: ["clarinet-bflat", "clarinet-a"],
  without: [],
  allow: [],
  fixed: [],
};

interface Asked {
  readonly wishes?: Partial<PlanWishes>;
  readonly player?: number;
  readonly repeats?: "none";
}

/** The plan for the first part of a score. */
function planOf(xml: string, { wishes = {}, player, repeats }: Asked = {}) {
  const score = openScore(Buffer.from(xml));
  const staff = score.timeline(score.parts[0]?.id ?? "");
  const timeline = player === undefined ? staff : playerPart(staff, player);
  const performed = repeats === undefined ? {} : { repeats };
  const analysed = analysisContext(timeline, USUAL_PROFILE, performed);
  const report = reportOn(analysed, timeline, { file: "part", title: "", movement: "" });
  const finder = colleagueFinder(performed)(score);
  return planPart(analysed.context, report, { ...STAYS, ...wishes }, finder);
}

const near = (seconds: number): unknown => expect.closeTo(seconds, 3);

/** Who could take what, of one change. */
function offers(plan: ReturnType<typeof planOf>, number = 1): readonly ColleagueTakesBars[] {
  return plan.advicePrinted
    .filter(({ change }) => change.number === number)
    .flatMap(({ advice }) => advice.flatMap((each) => (each.kind === "colleague" ? [each] : [])));
}

/** "Clarinet 1 takes 2–3 last (8): holds clarinet-bflat, workable". */
function gist(offer: ColleagueTakesBars): string {
  const { part, from, to, which, notes, way, instrument, gained } = offer;
  const place = ({ barLabel, pass }: typeof from) => (pass > 1 ? `${barLabel}/${pass}` : barLabel);
  const verdict = gained?.verdict ?? "no change";
  return `${partName(part)} takes ${place(from)}–${place(to)} ${which} (${notes}): ${way} ${instrument}, ${verdict}`;
}

const START = attributes({ meter: "4/4", fifths: 0 }) + metronome("quarter", "120");
const on = (transpose: readonly [number, number, number?], fifths = 0) =>
  attributes({ fifths, transpose });
const quarters = (pitch: string) => note(pitch, 1).repeat(4);
const silence = (count: number) => Array.from({ length: count }, () => rest(4));
const FORWARD = `<barline location="left"><repeat direction="forward"/></barline>`;
const BACK = `<barline location="right"><repeat direction="backward"/></barline>`;

/** Three bars on B-flat, a bar's rest, three on A: impossible; two bars more of rest are workable. */
const HURRIED = [
  START + on(B_FLAT) + quarters("C5"),
  quarters("D5"),
  quarters("E5"),
  rest(4),
  on(A) + quarters("F5"),
  quarters("G5"),
  quarters("A5"),
];
const PLAYER: PartXml = { name: "Clarinet 2", bars: HURRIED };

function score(...others: readonly PartXml[]): string {
  return scoreXml([PLAYER, ...others]);
}

/** A colleague of seven bars; the first is given without its signs. */
function colleague(
  name: string,
  transpose: typeof A | typeof B_FLAT | typeof C,
  ...bars: readonly string[]
): PartXml {
  const [first = "", ...rests] = bars;
  return { name, bars: [START + on(transpose) + first, ...rests] };
}

/** Seven bars on B-flat that double nobody. */
const BUSY = ["G3", "A3", "B3", "G3", "A3", "B3", "G3"].map(quarters);
const busyBut = (bars: Readonly<Record<number, string>>) =>
  BUSY.map((content, k) => bars[k + 1] ?? content);
/** Three quarters' rest before bar 2, then three bars. */
const FREE_IN_2_TO_4 = busyBut({ 1: note("G3", 1) + rest(3), 2: rest(4), 3: rest(4), 4: rest(4) });

describe("colleagues who could take bars", () => {
  it("names one who rests there and has the instrument in hand, with the seconds on both sides", () => {
    const plan = planOf(score(colleague("Clarinet 1", B_FLAT, ...FREE_IN_2_TO_4)));
    const [offer, ...others] = offers(plan);
    expect(others).toEqual([]);
    expect(gist(offer!)).toBe("Clarinet 1 takes 2–3 last (8): holds clarinet-bflat, workable");
    // Three quarters before, a bar after; two bars more for the player.
    expect(offer).toMatchObject({
      bars: 2,
      before: { seconds: near(1.415) },
      after: { seconds: near(1.887) },
      gained: { seconds: near(3.774) },
    });
    expect(planAdviceText(offer!, "impossible")).toBe(
      "let Clarinet 1, who rests there, take bars 2–3 on B♭ (your last 8 notes before the rest): with the B♭ in hand, 1.4 s free before, 1.9 s free after; 3.8 s more, then workable",
    );
    expect(plan.lacksScore).toBe(false);
  });

  it("counts the bars after the rest as well", () => {
    const first = colleague("Clarinet 1", A, ...busyBut({ 4: rest(4), 5: rest(4), 6: rest(4), 7: rest(3) + note("G3", 1) })); // prettier-ignore
    const [offer] = offers(planOf(score(first)));
    expect(gist(offer!)).toBe("Clarinet 1 takes 5–6 first (8): holds clarinet-a, workable");
    expect(planAdviceText(offer!, "impossible")).toContain("(your first 8 notes after the rest)");
  });

  it("asks for a breath between two lines", () => {
    // Half a bar is 0.94 s: less than the second that is wanted. Before bar 3 alone there is a bar more.
    const bars = busyBut({ 1: note("G3", 2) + rest(2), 2: rest(4), 3: rest(4), 4: rest(4) });
    const plan = planOf(score(colleague("Clarinet 1", B_FLAT, ...bars)));
    expect(offers(plan).map(gist)).toEqual([
      "Clarinet 1 takes 3–3 last (4): holds clarinet-bflat, tight",
    ]);
    expect(planAdviceText(offers(plan)[0]!, "impossible")).toMatch(/; 1\.9 s more, then tight$/);
  });

  it("does not name one who plays something else, be it one note", () => {
    const bars = FREE_IN_2_TO_4.with(2, rest(3) + note("E5", 1));
    expect(offers(planOf(score(colleague("Clarinet 1", B_FLAT, ...bars))))).toEqual([]);
  });

  it("puts one who plays the same notes first, whatever they are written for", () => {
    // D5 and E5 on B-flat sound C5 and D5. An octave lower, or in halves, is not the same.
    const doubled = (...pair: readonly string[]) => [
      ...BUSY.slice(0, 1),
      ...pair,
      ...BUSY.slice(3),
    ];
    const plan = planOf(
      score(
        colleague("Clarinet 3", B_FLAT, ...FREE_IN_2_TO_4),
        colleague("Clarinet 4", C, ...doubled(quarters("C4"), quarters("D4"))),
        colleague("Clarinet 5", C, ...doubled(note("C5", 2).repeat(2), quarters("D5"))),
        colleague("Clarinet 1", C, ...doubled(quarters("C5"), quarters("D5"))),
      ),
    );
    expect(offers(plan).map(gist)).toEqual([
      "Clarinet 1 takes 2–3 last (8): unison clarinet-c, workable",
      "Clarinet 3 takes 2–3 last (8): holds clarinet-bflat, workable",
    ]);
    expect(planAdviceText(offers(plan)[0]!, "impossible")).toBe(
      "leave bars 2–3 (your last 8 notes before the rest) to Clarinet 1, who plays the same notes there: 3.8 s more, then workable",
    );
  });

  it("takes the nearest where several could, and names two at most", () => {
    const free = (name: string) => colleague(name, B_FLAT, ...FREE_IN_2_TO_4);
    const xml = scoreXml([
      PLAYER,
      free("Clarinet 3"),
      colleague("Clarinet in C", C, ...BUSY),
      free("Clarinet 4"),
      free("Clarinet 5"),
    ]);
    expect(offers(planOf(xml)).map(({ part }) => part.name)).toEqual(["Clarinet 3", "Clarinet 4"]);
  });

  it("does not begin in the middle of a tied note", () => {
    const tied = HURRIED.with(1, note("D5", 4, '<tie type="start"/>')).with(2, note("D5", 4, '<tie type="stop"/>')); // prettier-ignore
    const only3 = busyBut({ 1: note("G3", 1) + rest(3), 2: note("G3", 1) + rest(3), 3: rest(4), 4: rest(4) }); // prettier-ignore
    const of = (player: readonly string[], bars: readonly string[]) =>
      offers(planOf(scoreXml([{ name: "Clarinet 2", bars: player }, colleague("Clarinet 1", B_FLAT, ...bars)]))).map(gist); // prettier-ignore
    expect(of(HURRIED, only3)).toEqual(["Clarinet 1 takes 3–3 last (4): holds clarinet-bflat, tight"]); // prettier-ignore
    expect(of(tied, only3)).toEqual([]);
    expect(of(tied, FREE_IN_2_TO_4)).toEqual(["Clarinet 1 takes 2–3 last (1): holds clarinet-bflat, workable"]); // prettier-ignore
  });

  it("takes a whole passage, so that there is no change left, on either side of it", () => {
    const player = [
      START + on(B_FLAT) + quarters("C5"),
      rest(4),
      on(A) + quarters("F5"),
      rest(4),
      on(B_FLAT) + quarters("C5"),
    ];
    const first = { name: "Clarinet 1", bars: [START + on(A) + note("G3", 1) + rest(3), ...silence(3), quarters("G3")] }; // prettier-ignore
    const plan = planOf(scoreXml([{ name: "Clarinet 2", bars: player }, first]));
    for (const change of [1, 2]) {
      expect(offers(plan, change).map(gist)).toEqual([
        `Clarinet 1 takes 3–3 ${change === 1 ? "first" : "last"} (4): holds clarinet-a, no change`,
      ]);
    }
    expect(planAdviceText(offers(plan)[0]!, "impossible")).toBe(
      "let Clarinet 1, who rests there, take bar 3 on A (all 4 notes of the passage): with the A in hand, 3.3 s free before, 1.9 s free after; you then need no change there",
    );
  });
});

describe("a colleague's own instruments", () => {
  /** Five bars on B-flat, a bar's rest, six on A: bars 4–5 are to be given. */
  const player = (low = "C5"): PartXml => ({
    name: "Clarinet 2",
    bars: [
      START + on(B_FLAT) + quarters("C5"),
      ...[2, 3].map(() => quarters("C5")),
      ...[4, 5].map(() => quarters(low)),
      rest(4),
      on(A) + quarters("F5"),
      ...[8, 9, 10, 11, 12].map(() => quarters("F5")),
    ],
  });
  /** A quarter in bar 1, bars of rest, and playing to the end, in an instrument. */
  const resting = (
    before: readonly [number, number],
    restBars: number,
    after = before,
  ): PartXml => ({
    name: "Clarinet 1",
    bars: [
      START + on(before) + note("G4", 1) + rest(3),
      ...silence(restBars),
      on(after) + quarters("G4"),
      ...Array.from({ length: 10 - restBars }, () => quarters("G4")),
    ],
  });
  /** The same with a bar more at its beginning and one less at its end. */
  const aBarLater = (): PartXml => {
    const { bars, ...named } = player();
    return { ...named, bars: [bars[0]!, ...bars.slice(0, -1)] };
  };
  const of = (other: PartXml, low?: string) => offers(planOf(scoreXml([player(low), other])));

  it("are taken up where there is time before and after", () => {
    // 1.415 and two bars: 5.19 s, too little; the player's bar 5 has one more, 7.08 s. After it three bars.
    const [offer, ...others] = of(resting(A, 7));
    expect(others).toEqual([]);
    expect(gist(offer!)).toBe("Clarinet 1 takes 4–5 last (8): by-sight clarinet-a, workable");
    const later = aBarLater();
    const [taken] = offers(planOf(scoreXml([later, resting(A, 8)])));
    expect(gist(taken!)).toBe("Clarinet 1 takes 5–6 last (8): takes-up clarinet-bflat, workable");
    expect(taken).toMatchObject({
      before: { seconds: near(7.075), change: { to: "clarinet-bflat", neededSeconds: 3.5 } },
      after: { seconds: near(5.66), change: { to: "clarinet-a", neededSeconds: 3.5 } },
    }); // prettier-ignore
    expect(planAdviceText(taken!, "impossible")).toBe(
      "let Clarinet 1, who rests there, take bars 5–6 on B♭ (your last 8 notes before the rest): 7.1 s before to take up the B♭ (3.5 s needed), 5.7 s after to take up the A (3.5 s needed); 3.8 s more, then workable",
    );
  });

  it("are kept, and the bars read by sight, where there is no time to be back", () => {
    const later = aBarLater();
    // Two bars after bar 6: 3.77 s for 3.5 s would be tight.
    const [offer] = offers(planOf(scoreXml([later, resting(A, 7)])));
    expect(gist(offer!)).toBe("Clarinet 1 takes 5–6 last (8): by-sight clarinet-a, workable");
    // C on B-flat sounds B flat, which is D flat on A.
    expect(planAdviceText(offer!, "impossible")).toContain(
      "take bars 5–6 on A (your last 8 notes before the rest): with the A in hand, read a semitone higher, 7.1 s free before, 3.8 s free after;",
    );
  });

  it("do not stand in for another that is wanted for its sound, so that without time nobody is named", () => {
    const E_FLAT = [2, 3] as const;
    const later = aBarLater();
    const named = (restBars: number, after: readonly [number, number]) =>
      offers(planOf(scoreXml([later, resting(E_FLAT, restBars, after)]))).map(gist);
    // E-flat and B-flat need 3.9 s and 3.5: before bar 5 there are 7.1 s, then a bar's rest or more.
    expect(named(6, B_FLAT)).toEqual(["Clarinet 1 takes 5–6 last (8): takes-up clarinet-bflat, workable"]); // prettier-ignore
    expect(named(6, E_FLAT)).toEqual([]);
  });

  it("are not read by sight where a note is out of range", () => {
    // E3 on B-flat sounds D3, a tone under the lowest note of the clarinet in C.
    expect(of(resting(C, 7)).map(gist)).toEqual(["Clarinet 1 takes 4–5 last (8): by-sight clarinet-c, workable"]); // prettier-ignore
    expect(of(resting(C, 7), "F#3").map(({ way }) => way)).toEqual(["by-sight"]);
    // The bars on A, after the rest, lie well on it all the same.
    expect(of(resting(C, 7), "E3").map(({ which }) => which)).toEqual(["first"]);
  });

  it("must be of the family: a flute or a bass clarinet alone does not take clarinet bars", () => {
    const flute: PartXml = { ...resting(C, 7), name: "Flute 1" };
    const bass: PartXml = { ...resting(BASS as unknown as typeof A, 7), name: "Bass Clarinet" };
    expect(of(flute)).toEqual([]);
    expect(of(bass)).toEqual([]);
  });

  it("may be anything where nothing was played yet, and where nothing follows", () => {
    const late: PartXml = { name: "Clarinet 1", bars: [START + on(B_FLAT) + rest(4), ...silence(6), quarters("G4"), ...silence(4)] }; // prettier-ignore
    const early: PartXml = { name: "Clarinet 3", bars: [START + on(B_FLAT) + quarters("G4"), ...silence(11)] }; // prettier-ignore
    const tacet: PartXml = { name: "Clarinet 4", bars: [START + on(B_FLAT) + rest(4), ...silence(11)] }; // prettier-ignore
    const texts = offers(planOf(scoreXml([player(), late, early, tacet]))).map((offer) => planAdviceText(offer, "impossible")); // prettier-ignore
    expect(texts).toHaveLength(2);
    expect(texts[0]).toContain("with the B♭ in hand, nothing to play before, 3.8 s free after;");
    expect(texts[1]).toContain("with the B♭ in hand, 3.8 s free before, nothing to play after;");
  });
});

describe("colleagues and the order of performance", () => {
  /** B-flat, three bars on, and A to the repeat sign: going back there is no rest at all. */
  const repeated = [
    FORWARD + START + on(B_FLAT) + quarters("C5"),
    ...silence(6),
    on(A) + quarters("F5"),
    quarters("F5"),
    quarters("F5"),
    quarters("F5") + BACK,
  ];
  const other = (firstBar: string): PartXml => ({
    name: "Clarinet 1",
    bars: [FORWARD + START + on(A) + firstBar, note("G3", 1) + rest(3), ...silence(8), rest(4) + BACK],
  }); // prettier-ignore
  const of = (firstBar: string, asked: Asked = {}) => {
    const plan = planOf(scoreXml([{ name: "Clarinet 2", bars: repeated }, other(firstBar)]), asked);
    return offers(plan, 2).map(gist);
  };

  it("looks at what the colleague plays after the repeat, not at the next bar of the page", () => {
    // 5.25 s are three bars of silence.
    expect(of(rest(3) + note("G3", 1))).toEqual(["Clarinet 1 takes 9–11 last (12): holds clarinet-a, workable"]); // prettier-ignore
    expect(of(note("G3", 1) + rest(3))).toEqual([]);
    expect(of(rest(3) + note("G3", 1), { repeats: "none" })).toEqual([]);
  });

  it("names the time through", () => {
    const plays = other(rest(4));
    const first = { ...plays, bars: plays.bars.with(1, rest(4)).with(4, note("G3", 1) + rest(3)) };
    const long = repeated.with(0, FORWARD + START + on(B_FLAT) + quarters("C5")).with(1, quarters("C5")).with(2, quarters("C5")); // prettier-ignore
    const plan = planOf(scoreXml([{ name: "Clarinet 2", bars: long }, { ...first, bars: first.bars.map((bar, k) => k === 9 ? quarters("B3") : bar) }])); // prettier-ignore
    expect(offers(plan, 2).map(gist)).toEqual(["Clarinet 1 takes 1/2–3/2 first (12): by-sight clarinet-a, no change"]); // prettier-ignore
  });
});

describe("whose parts are looked at", () => {
  const BACKUP = `<backup><duration>${4 * DIVISIONS}</duration></backup>`;
  const voice = (number: number) => `<voice>${number}</voice>`;
  const two = (upper: string, lower: string) =>
    note(upper, 1, voice(1)).repeat(4) + BACKUP + (lower === "r" ? rest(4, voice(2)) : note(lower, 1, voice(2)).repeat(4)); // prettier-ignore
  const staff = (name: string): PartXml => ({
    name,
    bars: [
      START + on(B_FLAT) + note("C5", 1, voice(1)).repeat(4) + BACKUP + note("G3", 1, voice(2)) + rest(3, voice(2)), // prettier-ignore
      two("D5", "r"),
      two("E5", "r"),
      rest(4, voice(1)) + BACKUP + rest(4, voice(2)),
      on(A) + two("F5", "r"),
      two("G5", "r"),
      two("A5", "r"),
    ],
  });

  it("the other player of a shared staff, where one is asked for", () => {
    const xml = scoreXml([staff("Clarinets 1. 2. in Bb")]);
    expect(offers(planOf(xml, { player: 1 })).map(gist)).toEqual([
      "Clarinets 1. 2. in Bb, player 2 takes 2–3 last (8): holds clarinet-bflat, workable",
    ]);
    // Of all together nobody is the colleague.
    expect(offers(planOf(xml))).toEqual([]);
  });

  it("the players of another staff, each for himself", () => {
    const plan = planOf(scoreXml([PLAYER, staff("Clarinets 3. 4. in Bb")]));
    // The third doubles the second in every bar.
    expect(offers(plan).map(gist)).toEqual([
      "Clarinets 3. 4. in Bb, player 3 takes 2–3 last (8): unison clarinet-bflat, workable",
      "Clarinets 3. 4. in Bb, player 4 takes 2–3 last (8): holds clarinet-bflat, workable",
    ]);
  });

  it("never the player's own, on a staff that is not shared", () => {
    const xml = scoreXml([{ name: "Clarinet in Bb", bars: HURRIED }]);
    expect(offers(planOf(xml, { player: 1 }))).toEqual([]);
    const worded = scoreXml([{ name: "Clarinet in Bb", bars: [HURRIED[0]! + words("Solo"), ...HURRIED.slice(1)] }]); // prettier-ignore
    expect(offers(planOf(worded))).toEqual([]);
  });

  it("nobody in a part alone, where the page says so if a change is in danger", () => {
    expect(planOf(scoreXml([PLAYER])).lacksScore).toBe(true);
    expect(planOf(scoreXml([{ ...PLAYER, bars: HURRIED.slice(0, 4) }])).lacksScore).toBe(false);
    // A score without another clarinet is a score.
    const alone = planOf(score(colleague("Violin", C, ...silence(7))));
    expect([alone.lacksScore, offers(alone)]).toEqual([false, []]);
  });

  it("not a part that cannot be read, or that has other bars: a notice each", () => {
    const broken = colleague("Clarinet 1", B_FLAT, ...FREE_IN_2_TO_4.with(5, note("C5", 4) + "<note>&nope;</note>")); // prettier-ignore
    const short = colleague("Clarinet 3", B_FLAT, ...FREE_IN_2_TO_4.slice(0, 6));
    const plan = planOf(score(broken, short));
    expect(offers(plan)).toEqual([]);
    const texts = plan.notices.map(noticeText).filter((text) => text.includes("was not asked"));
    expect(texts).toEqual([
      expect.stringMatching(/^Clarinet 1 was not asked to take bars: .*entity/),
      "Clarinet 3 was not asked to take bars: its bars are not those of this part",
    ]);
  });

  it("none where no change is in danger: their parts are not even read", () => {
    const broken = colleague(
      "Clarinet 1",
      B_FLAT,
      ...FREE_IN_2_TO_4.with(5, "<note>&nope;</note>"),
    );
    const calm = { ...PLAYER, bars: [...HURRIED.slice(0, 3), ...silence(4)] };
    const plan = planOf(scoreXml([calm, broken]));
    expect(plan.notices.filter(({ kind }) => kind === "colleague-left-out")).toEqual([]);
  });
});
