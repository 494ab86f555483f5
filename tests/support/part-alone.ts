/** A partwise document with one part only, for a reader that would take long over all. */
export function partAlone(bytes: Buffer, partId: string): string {
  return bytes
    .toString()
    .replace(/<part-group\b[^]*?<\/part-group>/g, "")
    .replace(/<(score-part|part) id="([^"]*)"[^]*?<\/\1>/g, (xml, _name, id: string) =>
      id === partId ? xml : "",
    );
}
