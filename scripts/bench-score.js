const PARTS = 20;
const BARS = 500;
const STEPS = ["C", "D", "E", "F", "G", "A", "B"];

/** A score of about 10 MB: twenty parts of eighth notes and rests, the tempi in the first. */
export function generatedScore() {
  const ids = Array.from({ length: PARTS }, (_, k) => k + 1);
  const names = ids.map(
    (id) => `<score-part id="P${id}"><part-name>Clarinet in Bb ${id}</part-name></score-part>`,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
<part-list>${names.join("")}</part-list>
${ids.map(part).join("\n")}
</score-partwise>
`;
}

function part(id) {
  const bars = Array.from({ length: BARS }, (_, k) => bar(id, k + 1));
  return `<part id="P${id}">\n${bars.join("\n")}\n</part>`;
}

function bar(id, number) {
  const opening =
    number === 1
      ? "<attributes><divisions>2</divisions><key><fifths>1</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time><transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose></attributes>"
      : "";
  const tempo = id === 1 && number % 40 === 1 ? `<sound tempo="${80 + (number % 60)}"/>` : "";
  const content =
    (number + id) % 5 === 0
      ? '<note><rest measure="yes"/><duration>8</duration></note>'
      : notes(number);
  return `<measure number="${number}">${opening}${tempo}${content}</measure>`;
}

function notes(number) {
  return Array.from({ length: 8 }, (_, k) => {
    const step = STEPS[(number * 3 + k * 2) % 7];
    return `<note default-x="${20 + k * 15}">\n  <pitch>\n    <step>${step}</step>\n    <octave>4</octave>\n  </pitch>\n  <duration>1</duration>\n  <voice>1</voice>\n  <type>eighth</type>\n</note>`;
  }).join("\n");
}
