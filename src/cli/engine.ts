import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";

/** V8 11.3, 12.4 and 13.6 (Node 20, 22, 24) were asked; one that does not know a setting complains of it aloud. */
const NEWEST_ENGINE_ASKED = 13;

const isKnown = Number.parseInt(process.versions.v8, 10) <= NEWEST_ENGINE_ASKED;

/**
 * Has the engine make every object where a quick collection finds it. By itself it sees now and then that what is
 * read of a score lived through a quick collection or two, concludes that it lives long, and from then on makes it
 * where only a full collection looks. But all of it goes with its score: such a worker needs more than twice as many
 * full collections, and after each much is compiled anew (DEVELOPERS.md, "Many works").
 */
export function keepObjectsYoung(): void {
  if (isKnown) setFlagsFromString("--no-allocation-site-pretenuring");
}

type Collect = (options: { readonly type: "minor" }) => void;

let collect: Collect | undefined;

/**
 * A quick collection, for between two jobs: there is hardly anything alive then. One in the middle of the next job
 * comes later, or not at all, and what is alive then does not yet count as old.
 */
export function clearAway(): void {
  if (!isKnown) return;
  collect ??= collector();
  collect({ type: "minor" });
}

/**
 * The engine's own function, which a context has that is made after this setting. It is left as it is: settings are
 * those of the whole process, and another worker may be about to make its context.
 */
function collector(): Collect {
  setFlagsFromString("--expose-gc");
  return runInNewContext("gc") as Collect;
}
