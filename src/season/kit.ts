import { INSTRUMENT_IDS } from "../model/instrument.js";
import type { KitList } from "../model/season.js";
import { groupBy } from "../theory/search.js";
import type { ChainLink } from "./chains.js";
import type { MovementVisit } from "./visits.js";

/** What every player takes to every programme, in the order of the season. */
export function kitLists(
  visits: readonly MovementVisit[],
  links: readonly ChainLink[],
): readonly KitList[] {
  // Works that are in no programme have one list.
  const programmeOf = ({ inProgramme, programmeIndex }: MovementVisit) =>
    inProgramme ? programmeIndex : null;
  const linksFrom = groupBy(links, ({ from }) => from.seat);
  return [...groupBy(visits, programmeOf).values()].flatMap((own) => {
    const ends = own.flatMap((visit) => visit.seats.map((seat) => ({ visit, seat })));
    return [...groupBy(ends, ({ seat }) => seat.player)].map(([player, theirs]): KitList => {
      const used = INSTRUMENT_IDS.filter((id) =>
        theirs.some(({ seat }) => seat.instruments.includes(id)),
      );
      const [programme, date] = [own[0]?.place.programme ?? "", own[0]?.place.date ?? ""];
      return {
        ...{ programme, date, player },
        instruments: used.map((instrument) => ({
          instrument,
          works: [
            ...new Set(
              theirs
                .filter(({ seat }) => seat.instruments.includes(instrument))
                .map(({ visit }) => visit.place.work),
            ),
          ],
        })),
        unreadFiles: own.filter(({ audit }) => audit.errors.length > 0).length,
        stands: Math.max(0, used.length - 1),
        keepWarm: keptWarm(theirs.flatMap(({ seat }) => linksFrom.get(seat) ?? [])),
      };
    });
  });
}

function keptWarm(links: readonly ChainLink[]): KitList["keepWarm"] {
  return links.flatMap(({ from, to }) => {
    const held = from.seat.edges?.closes.instrument;
    const instruments = to.seat.instruments.filter((id) => id !== held);
    if (instruments.length === 0) return [];
    const [during, next] = [from, to].map(({ visit: { place } }) => ({
      work: place.work,
      movement: place.movement,
    }));
    return during && next ? [{ instruments, during, for: next }] : [];
  });
}
