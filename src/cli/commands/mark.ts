import { partsOfPlayer } from "../../instruments/select-parts.js";
import { InputError } from "../../model/input-error.js";
import { openScore } from "../../musicxml/document.js";
import { markPart } from "../../planning/mark-part.js";
import { cleanTo } from "../../reporters/util/clean.js";
import { markText } from "../../reporters/wording/marks.js";
import { noticeText } from "../../reporters/wording/notices.js";
import { loadProfile } from "../analyse-files.js";
import { EXIT, type ExitCode } from "../exit-codes.js";
import { complain, failureOf, failureText, loadBytes } from "../load.js";
import { onePart, refuseCompressed } from "../one-part.js";
import { writeResult } from "../output.js";
import { loadWishes, wishFiles, type WishOptions } from "../wishes.js";

/** What the user asked of `muta mark`. */
export interface MarkOptions extends WishOptions {
  readonly part?: string;
  readonly player?: number;
  readonly profile?: string;
  readonly out?: string;
  readonly force: boolean;
}

/** Runs `muta mark`: a copy of the file with the player's pencil marks in one part. */
export async function runMark(file: string, options: MarkOptions): Promise<ExitCode> {
  const { part: pattern, player, out, force } = options;
  refuseCompressed(out);
  const wishes = await loadWishes(options);
  const profile = await loadProfile(options.profile);
  try {
    const bytes = await loadBytes(file);
    const score = openScore(bytes);
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
    const inputs = [
      file,
      ...wishFiles(options),
      ...(options.profile === undefined ? [] : [options.profile]),
    ];
    await writeResult(result.bytes, { path: out, force, inputs });
    return EXIT.clean;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    complain(failureText(failureOf(error, file)));
    return EXIT.badInput;
  }
}
