import type { BarContent } from "./bar-content.js";
import type { Notify } from "./notices.js";
import { child, children, descendants, type XmlElement } from "./elements.js";

/** How many bars the sign in force repeats; 0 when none is. */
export interface MeasureRepeatState {
  bars: number;
}

/**
 * Follows measure-repeat signs. The standard asks for the notes to be encoded under the sign;
 * where a bar under it is left empty, the notes are those of the bars it repeats.
 * Source: MusicXML 4.0, `<measure-repeat>`.
 */
export function fillMeasureRepeat(
  content: BarContent,
  barIndex: number,
  state: MeasureRepeatState,
  before: readonly BarContent[],
  notify: Notify,
): BarContent {
  for (const { value } of content.signs) {
    if (value.name !== "attributes") continue;
    for (const sign of repeatSigns(value)) {
      const bars = Number(sign.text);
      if (sign.attributes["type"] === "stop") state.bars = 0;
      else state.bars = Number.isInteger(bars) && bars > 0 ? bars : 1;
    }
  }
  if (state.bars === 0 || content.notes.length > 0 || content.rests.length > 0) return content;
  const model = before[barIndex - state.bars];
  if (!model) return content;
  notify({ kind: "measure-repeat", count: 1 });
  return {
    ...content,
    notes: model.notes.map((note) => ({ ...note, barIndex })),
    rests: model.rests.map((rest) => ({ ...rest, barIndex })),
    filled: model.filled,
  };
}

function repeatSigns(attributes: XmlElement): readonly XmlElement[] {
  return children(attributes, "measure-style")
    .filter((style) => child(style, "measure-repeat"))
    .flatMap((style) => descendants(style, "measure-repeat"));
}
