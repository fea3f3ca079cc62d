// What the workers' scripts share with the page and the build. Nothing of it ships.

/** The runtime as loaded: of its interface, as much as worker.js calls. */
type Calculate = (request: string) => string;

interface Python {
  pyimport(name: "calculators"): { call: Calculate };
}

interface HowToStart {
  /** The bytes of the kept memory. */
  memory: number;
  /** Whether to start without it. */
  plain: boolean;
  base: string;
  key?: string;
}

interface Lock {
  packages: Record<string, unknown>;
}

interface LoadOptions {
  indexURL: string;
  packageBaseUrl?: string;
  stdLibURL?: string;
  lockFileContents: Lock;
  packages?: string[];
  messageCallback?: () => void;
  _loadSnapshot?: Uint8Array;
}

declare function loadPyodide(options: LoadOptions): Promise<Python>;

/** Written before worker.js by macros/runtime/build.py: a lock file without packages. */
declare var bareLock: Lock;

interface Parts {
  module: WebAssembly.Module;
  heap: ArrayBuffer | null;
}

type Asked = { start: HowToStart; parts?: undefined } | { parts: Parts; start?: undefined } | Question;
interface Question {
  start?: undefined;
  parts?: undefined;
  id: number;
  request: string;
}

/** What Pyodide hands its runtime, as far as worker.js looks into it. */
interface Environment {
  _PyEM_InitTrampoline_js: () => void;
  memory: WebAssembly.Memory;
  __memory_base: WebAssembly.Global<"i32">;
  __indirect_function_table: WebAssembly.Table;
}
