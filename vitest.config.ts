import { defineConfig } from "vitest/config";

export default defineConfig({
  define: { MUTA_VERSION: JSON.stringify("0.0.0-test") },
  test: {
    include: ["tests/**/*.test.ts"],
    globalSetup: ["tests/support/announce-corpus.ts"],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    // All cores: without it one is kept free, which on two is every other one.
    maxWorkers: "100%",
  },
});
