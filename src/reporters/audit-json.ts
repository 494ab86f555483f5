import type { AuditRow, ChangeRow, KitList, PartSummary, SeasonReport } from "../model/season.js";
import { errorText } from "./audit-table.js";
import { round, seconds } from "./json.js";
import { jsonLine, jsonText } from "./util/json-text.js";
import { adviceText, evidenceText } from "./wording/advice.js";
import { disagreementText } from "./wording/disagreements.js";
import { hazardText } from "./wording/hazards.js";

const SCHEMA = "muta.audit/1";

/** One document: the rows wanted, then every part and the kit lists. */
export function auditJson(report: SeasonReport, rows: readonly AuditRow[]): string {
  const document = {
    schema: SCHEMA,
    season: report.season,
    works: report.works,
    movements: report.movements,
    rows: rows.map(rowDocument),
    parts: report.parts.map(partDocument),
    kits: report.kits,
  };
  return jsonText(document);
}

/** One line a row, a part, a kit list, in that order; `kind` tells them apart. */
export function auditJsonLines(report: SeasonReport, rows: readonly AuditRow[]): string {
  const lines = [
    ...rows.map(rowDocument),
    ...report.parts.map((part) => ({ kind: "part", ...partDocument(part) })),
    ...report.kits.map((kit: KitList) => ({ kind: "kit", ...kit })),
  ];
  return lines.map((line) => jsonLine({ schema: SCHEMA, ...line })).join("");
}

function rowDocument(row: AuditRow) {
  if (row.kind === "error") return { ...row, text: errorText(row.error) };
  const { change, ...where } = row;
  return { ...where, change: changeDocument(change) };
}

function changeDocument(change: ChangeRow["change"]) {
  const { rest, pause, lookUp } = change;
  return {
    ...change,
    rest: { ...rest, seconds: seconds(rest.seconds) },
    pause: pause && { ...pause, seconds: seconds(pause.seconds) },
    neededSeconds: round(change.neededSeconds),
    lookUp: { seconds: round(lookUp.seconds), bars: round(lookUp.bars) },
    hazards: change.hazards.map((each) => ({ ...each, text: hazardText(each) })),
    evidence: change.evidence.map((each) => ({ ...each, description: evidenceText(each) })),
    disagreements: change.disagreements.map((each) => ({ ...each, text: disagreementText(each) })),
    advice: change.advice.map((each) => ({ ...each, sentence: adviceText(each) })),
  };
}

function partDocument({ tightest, faults, durationSeconds, ...part }: PartSummary) {
  return {
    ...part,
    durationSeconds: seconds(durationSeconds),
    tightest: tightest && {
      from: tightest.change.from,
      to: tightest.change.to,
      leave: tightest.change.leave,
      enter: tightest.change.enter,
      into: tightest.into,
      lookUpSeconds: round(tightest.change.lookUp.seconds),
      verdict: tightest.change.verdict,
    },
    faults: faults.map((each) => ({ ...each, text: disagreementText(each) })),
  };
}
