import { defineConfig } from "vitest/config";

export default defineConfig({
  define: { MUTA_VERSION: JSON.stringify("0.0.0-test") },
  test: { include: ["tests/**/*.test.ts"], testTimeout: 60_000 },
});
