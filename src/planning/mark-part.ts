import { findChanges } from "../analyses/changes.js";
import { analysisContext } from "../analyses/index.js";
import { playerPart } from "../analyses/player-part.js";
import type { Notice } from "../model/finding.js";
import type { PartMark } from "../model/marks.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { PerformanceWishes } from "../model/tempo.js";
import type { ScoreDocument } from "../musicxml/document.js";
import { editBars } from "../musicxml/edit-bars.js";
import { BarMarker } from "../musicxml/mark-bars.js";
import { multipleRests } from "../musicxml/multiple-rests.js";
import { groupBy } from "../theory/search.js";
import { partMarks, type MarkWording } from "./marks.js";

/** What is to be marked, and how it is said. */
export interface MarkRequest {
  readonly partId: string;
  /** On a staff that several read: whose changes are marked, each mark with the player's number. */
  readonly player?: number;
  readonly profile: ChangeoverProfile;
  readonly wishes?: PerformanceWishes;
  /** One short line for each mark: `markText`, or your own. */
  readonly wording: MarkWording;
}

export interface Marked {
  /** The document as UTF-8. */
  readonly bytes: Buffer;
  /** The marks that were put in, in the order of the page. */
  readonly marks: readonly PartMark[];
  /** Marks for bars that are one empty tag in the file (`<measure number="5"/>`), and have no room for any. */
  readonly leftOut: readonly PartMark[];
  /** That several players read the part, whose rests the marks take together; none where one was named. */
  readonly sharedStaff: readonly Notice[];
}

/**
 * Pencils the changes of a part into its page: what to take up and in what time, where to look up, where a cue
 * is wanted, what may be misprinted. Everything else in the document stays as it is, byte for byte, and the
 * marks of an earlier run are replaced. Marks are not read as print: the report on the result is the same.
 *
 * @param bytes the document that `score` was opened from
 * @throws InputError all that analysing the part throws
 */
export function markPart(bytes: Buffer, score: ScoreDocument, request: MarkRequest): Marked {
  const { partId, player, profile, wishes = {}, wording } = request;
  const staffPart = score.timeline(partId);
  const timeline = player === undefined ? staffPart : playerPart(staffPart, player);
  const analysed = analysisContext(timeline, profile, wishes);
  const report = { changes: findChanges(analysed.context), notices: analysed.notices };
  const slices = score.barSlices(partId);
  const all = partMarks(analysed.context, report, multipleRests(bytes, slices), wording);
  const isEmpty = ({ at }: PartMark) => slices[at.barIndex]?.start === slices[at.barIndex]?.end;
  const marks = all.filter((mark) => !isEmpty(mark));
  const byBar = groupBy(marks, ({ at }) => at.barIndex);
  // A part that one player reads needs no number on its marks.
  const named = timeline.part.player;
  const marker = new BarMarker(named, timeline.notes[0]?.staff ?? 1);
  const { bytes: written } = editBars(bytes, slices, (text, barIndex) =>
    marker.bar(
      text,
      (byBar.get(barIndex) ?? []).map((mark) => ({
        words: wording(mark),
        eyeglasses: mark.content.kind === "look-up",
        offset: mark.at.offset,
        ...(named !== undefined && { player: named }),
      })),
    ),
  );
  return {
    bytes: written,
    marks,
    leftOut: all.filter(isEmpty),
    sharedStaff: report.notices.filter(({ kind }) => kind === "shared-staff"),
  };
}
