import importX from "eslint-plugin-import-x";
import tseslint from "typescript-eslint";

/**
 * The folders of src/ from the nouns outwards. A folder may import from those before it only:
 * imports point towards model/. The CLI is the last; the library entry (src/index.ts) may not use it.
 */
const LAYERS = [
  ["model"],
  ["theory"],
  ["instruments"],
  ["musicxml", "timing", "fingering"],
  ["analyses"],
  ["planning"],
  ["reporters"],
  ["season"],
  ["cli"],
];

const zones = LAYERS.flatMap((folders, rank) =>
  folders.map((folder) => ({
    target: `./src/${folder}`,
    from: [
      ...LAYERS.flatMap((others, otherRank) =>
        otherRank < rank ? [] : others.filter((other) => other !== folder),
      ).map((other) => `./src/${other}`),
      "./src/index.ts",
    ],
    message: "imports point towards model/ (see DEVELOPERS.md)",
  })),
);

export default tseslint.config(
  { ignores: ["dist/", "fixtures/"] },
  ...tseslint.configs.strict,
  {
    files: ["src/**/*.ts", "tests/**/*.ts"],
    extends: [tseslint.configs.recommendedTypeCheckedOnly],
    languageOptions: { parserOptions: { projectService: true } },
  },
  {
    files: ["src/**/*.ts"],
    plugins: { "import-x": importX },
    settings: { "import-x/resolver": { typescript: true, node: true } },
    rules: {
      "import-x/no-restricted-paths": ["error", { zones }],
      "import-x/no-cycle": "error",
      "no-console": "error",
      "@typescript-eslint/consistent-type-imports": "error",
      "@typescript-eslint/switch-exhaustiveness-check": "error",
      "@typescript-eslint/restrict-template-expressions": ["error", { allowNumber: true }],
    },
  },
  {
    // Console, clock, files and environment are touched in cli/ (and file reading in musicxml/).
    files: ["src/**/*.ts"],
    ignores: ["src/cli/**"],
    rules: {
      "no-restricted-globals": ["error", "process", "Date", "performance", "fetch"],
      "no-restricted-imports": [
        "error",
        { paths: ["node:process", "node:child_process", "commander", "chalk"] },
      ],
    },
  },
  {
    files: ["src/**/*.ts"],
    ignores: ["src/cli/**", "src/musicxml/**"],
    rules: { "no-restricted-imports": ["error", { patterns: ["node:*", "commander", "chalk"] }] },
  },
  {
    files: ["tests/**/*.ts"],
    rules: { "@typescript-eslint/no-non-null-assertion": "off" },
  },
);
