// The habits of the pages' scripts: what ESLint recommends. Classic scripts share what each declares at its top.
import js from "@eslint/js";
import globals from "globals";

const WORKERS = ["**/worker.js", "**/service-worker.js"];
const shared = Object.fromEntries(["shared", "kept", "words", "handover", "dieselRuntime", "myTruck", "sixQuestions"].map((name) => [name, "writable"]));
const declared = "^(shared|kept|words|handover|dieselRuntime|myTruck|sixQuestions)$"; // at the top of one script, for the others

export default [
  js.configs.recommended,
  {
    languageOptions: { ecmaVersion: 2024, sourceType: "script" },
    rules: { "no-redeclare": ["error", { builtinGlobals: false }], "no-unused-vars": ["error", { varsIgnorePattern: declared, ignoreRestSiblings: true }] },
  },
  { ignores: WORKERS, languageOptions: { globals: { ...globals.browser, ...shared, module: "readonly" } } },
  { files: ["**/worker.js"], languageOptions: { globals: { ...globals.worker, loadPyodide: "readonly" } } },
  { files: ["**/service-worker.js"], languageOptions: { globals: globals.serviceworker } },
];
