import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { defineConfig } from "vitest/config";

export default defineConfig({
  define: {
    MUTA_VERSION: JSON.stringify("0.0.0-test"),
    MUTA_BUILD: JSON.stringify("test"),
  },
  test: {
    // Results that an earlier run kept would hide what this one does.
    env: { MUTA_CACHE: mkdtempSync(join(tmpdir(), "muta-test-cache-")) },
    include: ["tests/**/*.test.ts"],
    globalSetup: [
      "tests/support/announce-corpus.ts",
      "tests/support/announce-soffice.ts",
      "tests/support/announce-parallel.ts",
    ],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    // All cores: without it one is kept free, which on two is every other one.
    maxWorkers: "100%",
  },
});
