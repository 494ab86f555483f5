/** Signatures of the parts of a zip file (APPNOTE 6.3, little-endian). */
const DIRECTORY_ENTRY = 0x02014b50;
const LOCAL_HEADER = 0x04034b50;
const DIRECTORY_END = 0x06054b50;
const END_BYTES = 22;

/** 1 January 1980, 00:00: the first moment that the format can write. */
const FIRST_DATE = 0x0021;

/**
 * Sets the times of all entries to the first moment there is, in place, so that the same content is the
 * same bytes at any time. For zip files without a comment that were written here.
 */
export function withoutTimes(zip: Buffer): Buffer {
  const end = zip.length - END_BYTES;
  expectSignature(zip, end, DIRECTORY_END);
  let at = zip.readUInt32LE(end + 16);
  for (let count = zip.readUInt16LE(end + 10); count > 0; count -= 1) {
    expectSignature(zip, at, DIRECTORY_ENTRY);
    const local = zip.readUInt32LE(at + 42);
    expectSignature(zip, local, LOCAL_HEADER);
    for (const time of [at + 12, local + 10]) {
      zip.writeUInt16LE(0, time);
      zip.writeUInt16LE(FIRST_DATE, time + 2);
    }
    // The fixed part, the name, the extra field, the comment.
    at += 46 + zip.readUInt16LE(at + 28) + zip.readUInt16LE(at + 30) + zip.readUInt16LE(at + 32);
  }
  return zip;
}

function expectSignature(zip: Buffer, at: number, signature: number): void {
  if (at < 0 || zip.readUInt32LE(at) !== signature) throw new RangeError("no zip file of ours");
}
