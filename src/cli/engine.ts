import { setFlagsFromString } from "node:v8";

/** V8 11.3, 12.4 and 13.6 (Node 20, 22, 24) were asked; one that does not know a setting complains of it aloud. */
const NEWEST_ENGINE_ASKED = 13;

/**
 * Has the engine make every object where a quick collection finds it. By itself it sees now and then that what is
 * read of a score lived through a quick collection or two, concludes that it lives long, and from then on makes it
 * where only a full collection looks. But all of it goes with its score: such a worker needs more than twice as many
 * full collections, and after each much is compiled anew (DEVELOPERS.md, "Many works").
 */
export function keepObjectsYoung(): void {
  if (Number.parseInt(process.versions.v8, 10) <= NEWEST_ENGINE_ASKED) {
    setFlagsFromString("--no-allocation-site-pretenuring");
  }
}
