import type { InstrumentId } from "../../model/instrument.js";
import type {
  AuditedChange,
  ChangeRow,
  KitList,
  PartSummary,
  SeasonPlace,
} from "../../model/season.js";
import { clean } from "../util/clean.js";
import { pauseSuffix } from "./pauses.js";
import { leavingText, placeText } from "./places.js";
import {
  barsLeftText,
  counted,
  restLengthText,
  secondsRangeText,
  secondsText,
} from "./quantities.js";

type Titled = Pick<SeasonPlace, "work" | "movement">;

/** "Opening night (2027-09-18)"; empty where there is no programme. */
export function programmeText({
  programme,
  date,
}: Pick<SeasonPlace, "programme" | "date">): string {
  const [name, day] = [clean(programme), clean(date)];
  if (name === "") return day;
  return day === "" ? name : `${name} (${day})`;
}

/** "Symphony, mvt 3", "Symphony, Scherzo", or the work alone. */
export function titleText({ work, movement }: Titled): string {
  const [title, part] = [clean(work), movementText({ movement })];
  return [title, part].filter(Boolean).join(", ");
}

/** "mvt 3" for a movement that has but a number. */
export function movementText({ movement }: Pick<SeasonPlace, "movement">): string {
  const text = clean(movement);
  return /^\d+$/.test(text) ? `mvt ${text}` : text;
}

/** "bar 28, beat 3 → bar 31, beat 2", or with the movement that is entered: "end of bar 118 → mvt 3, bar 5". */
export function wayText({ change, into, work }: ChangeRow): string {
  const { leave, enter } = change;
  const target =
    into === null
      ? ""
      : into.across === "works" || into.work !== work
        ? titleText(into)
        : movementText(into);
  return `${leavingText(leave)} → ${target === "" ? "" : `${target}, `}bar ${placeText(enter)}`;
}

/** "rest 2 bars + 2 beats, 4.6 s (4.4–4.9); hands 3.5 s; at the fast end leaves 0.9 s (½ bar) to look up". */
export function timeText({ rest, pause, neededSeconds, lookUp }: AuditedChange): string {
  const end = rest.seconds.short === rest.seconds.long ? "" : "at the fast end ";
  // In the pause between two movements nobody counts bars.
  const bars = pause ? "" : ` (${barsLeftText(lookUp.bars)})`;
  const left =
    lookUp.seconds > 0
      ? `leaves ${secondsText(lookUp.seconds)}${bars} to look up`
      : `${secondsText(-lookUp.seconds)} too short`;
  const held = pauseSuffix({ pauses: rest.held });
  return `rest ${restText(rest)}${pauseText(pause)}${held}; hands ${secondsText(neededSeconds)}; ${end}${left}`;
}

function restText(rest: AuditedChange["rest"]): string {
  if (rest.quarters === 0 && rest.seconds.long === 0) return "none in the notes";
  const length = rest.quarters === 0 ? "" : `${restLengthText(rest)}, `;
  return `${length}${secondsRangeText(rest.seconds)}`;
}

/** " + the pause, 5–40 s assumed"; of which the verdict counts the short end. */
function pauseText(pause: AuditedChange["pause"]): string {
  if (!pause) return "";
  const { short, long } = pause.seconds;
  const range = short === long ? secondsText(short) : `${number(short)}–${number(long)} s`;
  return ` + the pause, ${range}${pause.assumed ? " assumed" : ""}`;
}

const number = (seconds: number) => String(Math.round(seconds * 10) / 10);

/** "1.5 s too short", "2.2 s": the least that is left of a rest in some parts; empty where nothing changes. */
export function tightestText(parts: readonly Pick<PartSummary, "tightest">[]): string {
  const left = parts.flatMap(({ tightest }) => (tightest ? [tightest.change.lookUp.seconds] : []));
  if (left.length === 0) return "";
  const least = Math.min(...left);
  return least > 0 ? secondsText(least) : `${secondsText(-least)} too short`;
}

/** The instruments of a programme that are not needed in all its works, with the works they are for: "Suite, Elegy". */
export function onlyFor({ instruments }: Pick<KitList, "instruments">): readonly {
  readonly instrument: InstrumentId;
  readonly works: string;
}[] {
  const all = new Set(instruments.flatMap(({ works }) => works)).size;
  return instruments.flatMap(({ instrument, works }) =>
    works.length < all ? [{ instrument, works: works.map(clean).join(", ") }] : [],
  );
}

/** "2 files not read: what they need is not known": a list that may lack something. */
export function unreadText({ unreadFiles }: Pick<KitList, "unreadFiles">): string {
  const need = unreadFiles === 1 ? "it needs" : "they need";
  return `${counted(unreadFiles, "file")} not read: what ${need} is not known`;
}

/** "during Three Tide Pools, I. Ebb, for II. Slack Water": when an instrument is to be kept warm, and what for. */
export function warmPlaceText({ during, for: next }: KitList["keepWarm"][number]): string {
  const goal = next.work === during.work ? movementText(next) : titleText(next);
  return `during ${titleText(during)}, for ${goal}`;
}
