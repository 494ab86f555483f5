import type { BuildOptions } from "esbuild";

export declare const WORKER_ENTRIES: Readonly<Record<string, string>>;
export declare function bundleOptions(): BuildOptions;
