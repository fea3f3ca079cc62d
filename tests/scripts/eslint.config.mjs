// The habits of the pages' scripts: what ESLint recommends. Classic scripts share what each declares at its top.
import js from "@eslint/js";
import globals from "globals";

const WORKERS = ["**/worker.js", "**/service-worker.js"];
// What each declares at its top, for the others.
const NAMES = ["shared", "kept", "words", "cards", "handover", "dieselRuntime", "myTruck", "sixQuestions"];
const shared = Object.fromEntries(NAMES.map((name) => [name, "writable"]));
const unused = { varsIgnorePattern: `^(${NAMES.join("|")})$`, ignoreRestSiblings: true };

export default [
  js.configs.recommended,
  {
    languageOptions: { ecmaVersion: 2024, sourceType: "script" },
    rules: { "no-redeclare": ["error", { builtinGlobals: false }], "no-unused-vars": ["error", unused] },
  },
  { ignores: WORKERS, languageOptions: { globals: { ...globals.browser, ...shared, module: "readonly" } } },
  { files: ["**/worker.js"], languageOptions: { globals: { ...globals.worker, loadPyodide: "readonly" } } },
  { files: ["**/service-worker.js"], languageOptions: { globals: globals.serviceworker } },
];
