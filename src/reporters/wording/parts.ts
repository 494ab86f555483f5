import type { PartInfo } from "../../model/score.js";

/** The name of a part, and of a shared staff whose player it is; as in the file, not yet cleaned. */
export function partName({ id, name, player }: Pick<PartInfo, "id" | "name" | "player">): string {
  const called = name.trim() === "" ? id : name;
  return player === undefined ? called : `${called}, player ${player}`;
}
