import { constants, crc32, deflateRawSync } from "node:zlib";

/** An entry to write, with what an honest zip writer would never be told. */
export interface ZipEntry {
  readonly name: string | Buffer;
  /** The content; with `deflated`, only what the checksum is made from. */
  readonly data: string | Buffer;
  readonly stored?: boolean;
  /** Ready-made compressed data, instead of compressing `data`. */
  readonly deflated?: Buffer;
  readonly flags?: number;
  /** The name where the data are, if not that of the directory. */
  readonly localName?: string;
  readonly method?: number;
  readonly crc?: number;
  readonly compressedSize?: number;
  readonly uncompressedSize?: number;
  readonly localOffset?: number;
  readonly extra?: Buffer;
}

export const ENCRYPTED = 0x1;
export const STRONG_ENCRYPTION = 0x40;

/** Writes a zip file (APPNOTE 6.3: local headers, directory, end record). */
export function zip(
  entries: readonly ZipEntry[],
  end: { readonly entryCount?: number; readonly before?: Buffer } = {},
): Buffer {
  const locals: Buffer[] = [];
  const directory: Buffer[] = [];
  let offset = 0;
  for (const entry of entries) {
    const data = Buffer.from(entry.data);
    const stored = entry.stored ?? false;
    const packed = entry.deflated ?? (stored ? data : deflateRawSync(data));
    const name = Buffer.from(entry.name);
    const localName = Buffer.from(entry.localName ?? entry.name);
    const extra = entry.extra ?? Buffer.alloc(0);
    // From the flags to the length of the name, both headers are the same.
    const common = Buffer.alloc(22);
    common.writeUInt16LE(entry.flags ?? 0, 0);
    common.writeUInt16LE(entry.method ?? (stored ? 0 : 8), 2);
    common.writeUInt32LE(entry.crc ?? crc32(data), 8);
    common.writeUInt32LE(entry.compressedSize ?? packed.length, 12);
    common.writeUInt32LE(entry.uncompressedSize ?? data.length, 16);
    common.writeUInt16LE(name.length, 20);
    const localCommon = Buffer.from(common);
    localCommon.writeUInt16LE(localName.length, 20);
    const local = Buffer.concat([
      Buffer.from("PK\x03\x04\x14\0", "latin1"),
      localCommon,
      Buffer.alloc(2),
      localName,
      packed,
    ]);
    const tail = Buffer.alloc(16);
    tail.writeUInt16LE(extra.length, 0);
    tail.writeUInt32LE(entry.localOffset ?? offset, 12);
    directory.push(
      Buffer.concat([Buffer.from("PK\x01\x02\x14\0\x14\0", "latin1"), common, tail, name, extra]),
    );
    locals.push(local);
    offset += local.length;
  }
  const directoryBytes = Buffer.concat([...directory, end.before ?? Buffer.alloc(0)]);
  const record = Buffer.alloc(22);
  record.write("PK\x05\x06", 0, "latin1");
  record.writeUInt16LE(end.entryCount ?? entries.length, 8);
  record.writeUInt16LE(end.entryCount ?? entries.length, 10);
  record.writeUInt32LE(directoryBytes.length, 12);
  record.writeUInt32LE(offset, 16);
  return Buffer.concat([...locals, directoryBytes, record]);
}

/** The container file of a compressed score, with the rootfiles given as attributes. */
export function container(...rootfiles: readonly string[]): ZipEntry {
  const rows = rootfiles.map((attributes) => `<rootfile ${attributes}/>`).join("");
  return {
    name: "META-INF/container.xml",
    data: `<?xml version="1.0" encoding="UTF-8"?><container><rootfiles>${rows}</rootfiles></container>`,
  };
}

/**
 * So many mebibytes of zeros, deflated to about a thousandth, without ever having them:
 * one mebibyte is compressed up to a byte boundary and repeated, then an empty last block.
 */
export function deflatedZeros(mebibytes: number): Buffer {
  const one = deflateRawSync(Buffer.alloc(1024 * 1024), {
    level: 9,
    finishFlush: constants.Z_FULL_FLUSH,
  });
  return Buffer.concat([
    ...Array.from({ length: mebibytes }, () => one),
    Buffer.from([0x03, 0x00]),
  ]);
}
