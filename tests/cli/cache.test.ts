import { spawn } from "node:child_process";
import { createHash, randomBytes, webcrypto } from "node:crypto";
import {
  chmodSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { build, type BuildOptions } from "esbuild";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { cacheFolder } from "../../src/cli/cache-folder.js";
import { authenticationCode, cacheKey } from "../../src/cli/cache-key.js";
import { cacheSecret } from "../../src/cli/cache-secret.js";
import { NO_CACHE, openCache, remember } from "../../src/cli/cache.js";
import { bundlePrograms, type Programs } from "../support/bundle.js";
import { runProgram, temporaryFolder } from "../support/run-muta.js";

let programs: Programs;

beforeAll(async () => {
  programs = await bundlePrograms({ cache: "tests/support/cache-program.ts" });
});

afterAll(() => {
  programs.remove();
});

function keyOf(name: string): string {
  return createHash("sha256").update(name).digest("hex");
}

/** A cache that may not complain. */
function quietCache(folder: string, limitBytes?: number) {
  return openCache(folder, {
    notice: (text) => {
      throw new Error(text);
    },
    ...(limitBytes !== undefined && { limitBytes }),
  });
}

function filesBelow(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));
}

/** What a cache makes its keys with; any will do. */
const SECRET = "5a".repeat(32);

const VALUE = { title: "Étude “=1+1” 🎼", counts: [1, 2, 3], nothing: null };

describe("a cache", () => {
  it("has what was stored, and only that", async () => {
    const folder = join(temporaryFolder(), "not", "there", "yet");
    const cache = quietCache(folder);
    expect(await cache.read(keyOf("a"))).toBeUndefined();
    expect(existsSync(folder)).toBe(false);
    await cache.write(keyOf("a"), VALUE);
    expect(await cache.read(keyOf("a"))).toEqual(VALUE);
    expect(await cache.read(keyOf("b"))).toBeUndefined();
    await cache.write(keyOf("a"), "newer");
    expect(await quietCache(folder).read(keyOf("a"))).toBe("newer");
    expect(filesBelow(folder)).toHaveLength(1);
  });

  it("keeps null apart from nothing, and stores no nothing", async () => {
    const cache = quietCache(temporaryFolder());
    await cache.write(keyOf("a"), null);
    expect(await cache.read(keyOf("a"))).toBeNull();
    await expect(cache.write(keyOf("a"), undefined)).rejects.toThrow(RangeError);
  });

  it("takes nothing for a key but a hash", async () => {
    const cache = quietCache(temporaryFolder());
    for (const key of ["", "../../etc/passwd", keyOf("a").toUpperCase(), `${keyOf("a")}0`]) {
      await expect(cache.write(key, 1)).rejects.toThrow(RangeError);
      await expect(cache.read(key)).rejects.toThrow(RangeError);
    }
  });

  it("spares the work that was done before", async () => {
    const cache = quietCache(temporaryFolder());
    let worked = 0;
    const work = () => Promise.resolve({ worked: (worked += 1) });
    for (const name of ["a", "a", "b", "a"]) await remember(cache, keyOf(name), work);
    expect(worked).toBe(2);
    expect(await remember(cache, keyOf("b"), work)).toEqual({ worked: 2 });
    expect(await remember(NO_CACHE, keyOf("b"), work)).toEqual({ worked: 3 });
    const fault = () => Promise.reject(new Error("no score"));
    await expect(remember(cache, keyOf("c"), fault)).rejects.toThrow("no score");
    expect(await cache.read(keyOf("c"))).toBeUndefined();
  });

  it("is nobody else's to read", async () => {
    const folder = temporaryFolder();
    await quietCache(folder).write(keyOf("a"), VALUE);
    const [entry = ""] = filesBelow(folder);
    if (process.platform !== "win32") expect(statSync(entry).mode & 0o077).toBe(0);
  });

  it("is not there with --no-cache", async () => {
    await NO_CACHE.write(keyOf("a"), VALUE);
    expect(await NO_CACHE.read(keyOf("a"))).toBeUndefined();
  });
});

describe("a damaged entry", () => {
  async function storedEntry() {
    const folder = temporaryFolder();
    const cache = quietCache(folder);
    await cache.write(keyOf("a"), VALUE);
    const [path = ""] = filesBelow(folder);
    return { cache, path, good: readFileSync(path) };
  }

  it("is none, whichever byte is wrong, and is replaced", async () => {
    const { cache, path, good } = await storedEntry();
    for (let at = 0; at < good.length; at += 1) {
      for (const flip of [0x01, 0x20, 0x80]) {
        const bad = Buffer.from(good);
        bad[at]! ^= flip;
        writeFileSync(path, bad);
        expect(await cache.read(keyOf("a")), `byte ${at} ^ ${flip}`).toBeUndefined();
      }
    }
    await cache.write(keyOf("a"), VALUE);
    expect(await cache.read(keyOf("a"))).toEqual(VALUE);
  });

  it("is none, wherever it is cut off or goes on", async () => {
    const { cache, path, good } = await storedEntry();
    for (let length = 0; length < good.length; length += 1) {
      writeFileSync(path, good);
      truncateSync(path, length);
      expect(await cache.read(keyOf("a")), `${length} bytes`).toBeUndefined();
    }
    for (const tail of ["\0", " ", "\n", good.toString("latin1")]) {
      writeFileSync(path, Buffer.concat([good, Buffer.from(tail)]));
      expect(await cache.read(keyOf("a"))).toBeUndefined();
    }
    writeFileSync(path, good);
    expect(await cache.read(keyOf("a"))).toEqual(VALUE);
  });

  it("is none under the name of another, or when it is a folder", async () => {
    const { cache, path, good } = await storedEntry();
    const other = keyOf("b");
    const shard = join(path, "..", "..", other.slice(0, 1));
    mkdirSync(shard, { recursive: true });
    writeFileSync(join(shard, other.slice(1)), good);
    expect(await cache.read(other)).toBeUndefined();
    const third = keyOf("c");
    mkdirSync(join(path, "..", "..", third.slice(0, 1), third.slice(1)), { recursive: true });
    expect(await cache.read(third)).toBeUndefined();
  });

  it("is none when its sum is right over what is no JSON", async () => {
    const { cache, path } = await storedEntry();
    const sum = createHash("sha256").update(keyOf("a")).update("{").digest("hex");
    writeFileSync(path, `${sum}\n{`);
    expect(await cache.read(keyOf("a"))).toBeUndefined();
  });
});

describe("a folder that cannot be written", () => {
  it("is told of once, and nothing else happens", async () => {
    const folder = temporaryFolder({ file: "not a folder" });
    const notices: string[] = [];
    const cache = openCache(join(folder, "file", "below"), {
      notice: (text) => notices.push(text),
    });
    for (const name of ["a", "b", "c"]) {
      await cache.write(keyOf(name), VALUE);
      expect(await cache.read(keyOf(name))).toBeUndefined();
    }
    expect(notices).toEqual([
      expect.stringMatching(
        /^results cannot be kept for the next run in .*below: (?:ENOTDIR|EEXIST|ENOENT)$/,
      ),
    ]);
  });

  // The super-user may write anywhere.
  it.skipIf(process.getuid?.() === 0 || process.platform === "win32")(
    "still gives what is in it",
    async () => {
      const folder = temporaryFolder();
      await quietCache(folder).write(keyOf("a"), VALUE);
      const shard = join(folder, keyOf("a").slice(0, 1));
      chmodSync(shard, 0o500);
      const notices: string[] = [];
      const cache = openCache(folder, { notice: (text) => notices.push(text) });
      expect(await cache.read(keyOf("a"))).toEqual(VALUE);
      await cache.write(keyOf("a"), 1);
      expect(notices).toHaveLength(1);
      chmodSync(shard, 0o700);
    },
  );
});

describe("the size of a cache", () => {
  it("stays about what is allowed", async () => {
    const folder = temporaryFolder();
    const limit = 16 * 64 * 1024;
    const cache = quietCache(folder, limit);
    let largest = 0;
    for (let k = 0; k < 3000; k += 1) {
      await cache.write(keyOf(String(k)), { filling: "x".repeat(2000), k });
      if (k % 500 === 499) {
        const size = filesBelow(folder).reduce((sum, path) => sum + statSync(path).size, 0);
        largest = Math.max(largest, size);
      }
    }
    // 6 MB were written. One write in 32 looks after its folder, so each may be over by some 32 entries.
    expect(largest).toBeLessThan(2 * limit);
    expect(largest).toBeGreaterThan(limit / 2);
  }, 120_000);

  it("is held by dropping what was used longest ago", async () => {
    const folder = temporaryFolder();
    const limit = 16 * 20_000;
    const cache = quietCache(folder, limit);
    // Keys of one folder; the last looks after it (its last two digits are below 08).
    const keys = Array.from(
      { length: 20 },
      (_, k) => `0${String(k).padStart(2, "0")}${"f".repeat(61)}`,
    );
    const old = Date.now() / 1000 - 30 * 24 * 3600;
    for (const [k, key] of keys.entries()) {
      await cache.write(key, "x".repeat(1500));
      const path = join(folder, "0", key.slice(1));
      utimesSync(path, old + k, old + k);
    }
    // The oldest is used again.
    expect(await cache.read(keys[0]!)).toBeDefined();
    writeFileSync(join(folder, "0", ".draft-forgotten"), "half");
    utimesSync(join(folder, "0", ".draft-forgotten"), old, old);
    writeFileSync(join(folder, "0", ".draft-of-now"), "half");
    await cache.write(`0${"f".repeat(61)}00`, "y");
    const left = readdirSync(join(folder, "0"));
    expect(left).toContain(keys[0]!.slice(1));
    expect(left).not.toContain(keys[1]!.slice(1));
    expect(left).toContain(keys[19]!.slice(1));
    expect(left).toContain(".draft-of-now");
    expect(left).not.toContain(".draft-forgotten");
  });

  it("is not spent on one huge result", async () => {
    const folder = temporaryFolder();
    const cache = quietCache(folder, 16 * 1000);
    await cache.write(keyOf("a"), "x".repeat(900));
    expect(await cache.read(keyOf("a"))).toBeUndefined();
    expect(filesBelow(folder)).toEqual([]);
  });
});

describe("several runs at once", () => {
  it("read only what one of them wrote", async () => {
    const folder = temporaryFolder();
    const runs = await Promise.all(
      ["left", "right"].map((seed) =>
        runProgram(process.execPath, [programs.path("cache"), folder, seed, "12", "20000", "15"]),
      ),
    );
    for (const run of runs) {
      expect(run).toMatchObject({ code: 0, stderr: "" });
      const { wrong, hits, notices } = JSON.parse(run.stdout.split("\n")[1]!) as {
        wrong: number;
        hits: number;
        notices: string[];
      };
      expect({ wrong, notices }).toEqual({ wrong: 0, notices: [] });
      expect(hits).toBe(12 * 15);
    }
    expect(filesBelow(folder)).toHaveLength(12);
  });

  it("leave nothing half-written that counts, killed at any moment", async () => {
    const folder = temporaryFolder();
    const cache = quietCache(folder);
    const size = 200_000;
    let killedAtWork = 0;
    let drafts = 0;
    let kills = 0;
    // On until a moment that matters was met, which may take a while on a busy machine.
    for (let k = 0; k < 20 || (drafts === 0 && k < 200); k += 1) {
      const seed = String.fromCharCode(97 + (k % 26));
      kills += 1;
      const child = spawn(process.execPath, [
        programs.path("cache"),
        folder,
        seed,
        "4",
        String(size),
      ]);
      await new Promise((begun) => child.stdout.once("data", begun));
      // Some entries' time, another part of it in every round.
      await sleep(5 + ((k * 37) % 61));
      child.kill("SIGKILL");
      const signal = await new Promise((ended) =>
        child.on("exit", (_, by) => {
          ended(by);
        }),
      );
      if (signal === "SIGKILL") killedAtWork += 1;
      drafts = filesBelow(folder).filter((path) => path.includes(".draft-")).length;
      for (let entry = 0; entry < 4; entry += 1) {
        const key = cacheKey({
          job: "test",
          inputs: [Buffer.from(String(entry))],
          options: {},
          secret: SECRET,
        });
        const read = (await cache.read(key)) as
          { k: number; by: string; filling: string } | undefined;
        if (read === undefined) continue;
        expect(read.k).toBe(entry);
        expect(read.filling === read.by.repeat(size)).toBe(true);
      }
    }
    expect(killedAtWork).toBe(kills);
    // Or the test has never met a moment that matters.
    expect(drafts).toBeGreaterThan(0);
  }, 120_000);
});

describe("a key", () => {
  const parts = {
    job: "audit",
    inputs: [Buffer.from("score")],
    options: { a: 1, b: [1, { c: 2, d: 3 }] },
    secret: SECRET,
  };

  it("is the same for the same, whatever the order of fields", () => {
    const turned = {
      secret: SECRET,
      options: { b: [1, { d: 3, c: 2 }], a: 1 },
      inputs: [Buffer.from("score")],
      job: "audit",
    };
    expect(cacheKey(turned)).toBe(cacheKey(parts));
    expect(cacheKey(parts)).toMatch(/^[0-9a-f]{64}$/);
  });

  it("is another for anything else", () => {
    const others = [
      parts,
      { ...parts, job: "plan" },
      { ...parts, secret: "5b".repeat(32) },
      { ...parts, inputs: [Buffer.from("Score")] },
      { ...parts, inputs: [Buffer.from("score"), Buffer.alloc(0)] },
      { ...parts, inputs: [Buffer.from("sc"), Buffer.from("ore")] },
      { ...parts, inputs: [] },
      { ...parts, options: {} },
      { ...parts, options: undefined },
      { ...parts, options: { a: "1", b: [1, { c: 2, d: 3 }] } },
      { ...parts, options: { a: 1, b: [{ c: 2, d: 3 }, 1] } },
    ];
    expect(new Set(others.map(cacheKey)).size).toBe(others.length);
  });
});

describe("the code of an input", () => {
  it("is GMAC", async () => {
    // McGrew and Viega, The Galois/Counter Mode of Operation (2005), appendix B, test case 13.
    const nothing = authenticationCode(new Uint8Array(), new Uint8Array(32));
    expect(nothing).toBe("530f8afbc74536b9a963b4f1c4cb738b");
    // With something to authenticate: what the Web Crypto API makes of it.
    const { subtle } = webcrypto;
    const secret = Buffer.from(SECRET, "hex");
    const aes = await subtle.importKey("raw", secret, "AES-GCM", false, ["encrypt"]);
    for (const length of [1, 15, 16, 17, 1000]) {
      const input = randomBytes(length);
      const how = { name: "AES-GCM", iv: new Uint8Array(12), additionalData: input };
      const tag = Buffer.from(await subtle.encrypt(how, aes, new Uint8Array()));
      expect(authenticationCode(input, secret)).toBe(tag.toString("hex"));
    }
  });

  it("is another where any bit is, and for another secret", () => {
    const secret = Buffer.from(SECRET, "hex");
    const input = randomBytes(100);
    const codes = new Set([authenticationCode(input, secret)]);
    for (let bit = 0; bit < 8 * input.length; bit++) {
      const other = Buffer.from(input);
      other[bit >> 3]! ^= 1 << (bit & 7);
      codes.add(authenticationCode(other, secret));
    }
    codes.add(authenticationCode(input, randomBytes(32)));
    codes.add(authenticationCode(Buffer.concat([input, Buffer.alloc(1)]), secret));
    expect(codes.size).toBe(8 * input.length + 3);
  });
});

describe("the secret of a cache", () => {
  it("is made once, differs from folder to folder, and is nobody else's to read", async () => {
    const folder = join(temporaryFolder(), "not", "there", "yet");
    const secret = await cacheSecret(folder);
    expect(secret).toMatch(/^[0-9a-f]{64}$/);
    expect(await cacheSecret(folder)).toBe(secret);
    expect(await cacheSecret(temporaryFolder())).not.toBe(secret);
    expect(readdirSync(folder)).toEqual(["secret"]);
    if (process.platform !== "win32") {
      expect(statSync(join(folder, "secret")).mode & 0o077).toBe(0);
    }
  });

  it("is the same for all that ask at once", async () => {
    for (let round = 0; round < 20; round++) {
      const folder = temporaryFolder();
      const secrets = await Promise.all(Array.from({ length: 8 }, () => cacheSecret(folder)));
      expect(new Set(secrets).size).toBe(1);
      expect(readdirSync(folder)).toEqual(["secret"]);
    }
  });

  it("is made anew where it is damaged", async () => {
    for (const length of [0, 1, 31, 33, 1000]) {
      const folder = temporaryFolder();
      writeFileSync(join(folder, "secret"), Buffer.alloc(length));
      const secret = await cacheSecret(folder);
      expect(secret).toMatch(/^[0-9a-f]{64}$/);
      expect(await cacheSecret(folder)).toBe(secret);
    }
  });

  it("lasts for the run where it cannot be kept", async () => {
    const folder = temporaryFolder({ file: "not a folder" });
    expect(await cacheSecret(join(folder, "file"))).toMatch(/^[0-9a-f]{64}$/);
    mkdirSync(join(folder, "secret"));
    expect(await cacheSecret(folder)).toMatch(/^[0-9a-f]{64}$/);
    expect(readdirSync(folder).sort()).toEqual(["file", "secret"]);
  });
});

describe("the program in a key", () => {
  /** The key of the same thing, made by another build of the program. */
  async function keyBy(version: string, sources: string): Promise<string> {
    const define = { MUTA_VERSION: JSON.stringify(version), MUTA_BUILD: JSON.stringify(sources) };
    const options: BuildOptions = { define, bundle: true, format: "esm", platform: "node" };
    const entryPoints = ["src/cli/cache-key.ts"];
    const { outputFiles } = await build({ ...options, entryPoints, write: false });
    const module = (await import(
      `data:text/javascript,${encodeURIComponent(outputFiles[0]!.text)}`
    )) as {
      cacheKey: typeof cacheKey;
    };
    return module.cacheKey({ job: "audit", inputs: [], options: {}, secret: SECRET });
  }

  it("is its version and its build", async () => {
    const keys = [await keyBy("1.0.0", "a"), await keyBy("1.0.1", "a"), await keyBy("1.0.0", "b")];
    expect(new Set(keys).size).toBe(3);
    expect(await keyBy("1.0.0", "a")).toBe(keys[0]);
  });
});

describe("the folder of the cache", () => {
  it.each([
    [{ MUTA_CACHE: "/own", XDG_CACHE_HOME: "/x", HOME: "/home/k" }, "linux", "/own"],
    [{ MUTA_CACHE: "", XDG_CACHE_HOME: "/x", HOME: "/home/k" }, "linux", "/x/muta"],
    // XDG Base Directory Specification: "If an implementation encounters a relative path [...] ignore it."
    [{ XDG_CACHE_HOME: "x", HOME: "/home/k" }, "linux", "/home/k/.cache/muta"],
    [{ HOME: "/home/k" }, "darwin", "/home/k/.cache/muta"],
    [{ LOCALAPPDATA: "/local", XDG_CACHE_HOME: "/x", HOME: "/home/k" }, "win32", "/local/muta"],
    [{ HOME: "nowhere" }, "linux", undefined],
  ] as const)("of %j on %s is %s", (env, platform, folder) => {
    expect(cacheFolder(env, platform)).toBe(folder);
  });
});
