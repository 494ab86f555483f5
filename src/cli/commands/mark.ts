import { partsOfPlayer } from "../../instruments/select-parts.js";
import { markPart } from "../../planning/mark-part.js";
import { cleanTo } from "../../reporters/util/clean.js";
import { markText } from "../../reporters/wording/marks.js";
import { noticeText } from "../../reporters/wording/notices.js";
import { loadProfile } from "../analyse-files.js";
import type { ExitCode } from "../exit-codes.js";
import { complain } from "../load.js";
import { onePart, refuseCompressed, writeAnew, type WritingOptions } from "../one-part.js";
import { loadWishes } from "../wishes.js";

/** What the user asked of `muta mark`. */
export interface MarkOptions extends WritingOptions {
  readonly part?: string;
  readonly player?: number;
}

/** Runs `muta mark`: a copy of the file with the player's pencil marks in one part. */
export async function runMark(file: string, options: MarkOptions): Promise<ExitCode> {
  const { part: pattern, player } = options;
  refuseCompressed(options.out);
  const wishes = await loadWishes(options);
  const profile = await loadProfile(options.profile);
  return writeAnew(file, options, (bytes, score) => {
    const part = onePart(score.parts, pattern, "marked", (parts) =>
      player === undefined ? parts : partsOfPlayer(parts, player),
    );
    const result = markPart(bytes, score, {
      partId: part.id,
      ...(player !== undefined && { player }),
      profile,
      wishes,
      wording: markText,
    });
    for (const notice of result.sharedStaff) complain(noticeText(notice));
    if (result.marks.length === 0) complain("nothing to mark: no change of instrument was found");
    const { bars } = score.timeline(part.id);
    for (const mark of result.leftOut) {
      const label = cleanTo(bars[mark.at.barIndex]?.barLabel ?? "", 40);
      complain(`bar ${label} is empty in the file and takes no mark: "${markText(mark)}"`);
    }
    return result.bytes;
  });
}
