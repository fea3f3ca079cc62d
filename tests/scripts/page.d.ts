// Types that the pages' scripts share. Nothing of it ships: the scripts name them in comments, which the build leaves out.

// What is kept and told --------------------------------------------------------------------------

/** A fact as a reader, a file or the book tells it. */
type Told = string | number | boolean;

/** A text of the guide, or both languages of it. */
type Bilingual = string | { en: string; es: string };
type Language = "en" | "es";

/** What a script says by itself: words, or words and what stands in their holes, each of which may be such a thing too. */
type Saying = Bilingual | readonly [string, ...Saying[]];

/** What a value rests on: the truck's own facts, the example's, some of both; "" where that says nothing. */
type Rests = "yours" | "partly" | "example" | "";

/** An entry of the book, as it was written: further fields by their contract names. */
interface Entry {
  id: string;
  kind: string;
  date?: string;
  written?: string;
  replaces?: string;
  estimated?: boolean;
  note?: string;
  [field: string]: Told | undefined;
}

/** Rows of a part of the file: of each job, what is told of it. */
type JobRows = Record<string, Record<string, Told>>;

/** A truck as its file holds it. */
interface Truck {
  format?: string;
  version?: number;
  id?: string;
  name: string;
  saved_at?: string;
  site_version?: string;
  computed_on?: string;
  identity?: Record<string, string>;
  facts?: Record<string, Told>;
  interval?: JobRows;
  done?: JobRows;
  book?: Entry[];
  learned?: unknown;
}

/** A truck as the calculators give it back. */
interface ReadTruck extends Truck {
  id: string;
  book: Entry[];
}

/** A value in an answer, with its words. */
interface Value {
  value: Told | null;
  number: string;
  shown: string;
  phrase?: string;
  unit?: string;
  look?: string;
  rests_on?: Rests;
  whose?: Bilingual;
  daily?: number;
  tell?: string[];
  from?: string;
  text?: string;
}

/** One line of a result that is a list. */
type Row = Record<string, Value>;
type Results = Record<string, Value | Row[]> & { jobs?: Row[] };

interface Step {
  name: string;
  result: Value;
  needs: string[];
  made?: Made[];
  [words: string]: unknown;
}

interface Made {
  what: string;
  shown?: string;
  lines?: string[];
  rests_on?: string;
}

interface Asks {
  input: string;
  why: Bilingual;
}

interface Turns {
  input: string;
  question: string;
  text: string;
}

/** What changes in an answer from a day on. */
interface DayOfAnswer {
  from: string;
  answer?: Bilingual;
  results?: Results;
}

/** What a calculator answers. */
interface Answer<T extends Bilingual = string> {
  calculator: string;
  answer: T;
  look: string;
  sign: string;
  answer_rests_on?: Rests;
  answer_whose?: Bilingual;
  rests: Bilingual;
  asks: Asks | null;
  turns?: Partial<Turns> | null;
  assumes: string[];
  inputs: Row;
  results: Results;
  working?: Step[];
  cautions: ({ signal: string; about?: "told" } & Words)[];
  sources: Words[];
  days?: DayOfAnswer[];
}

/** What stands at a place for a value: no more than its words, where they are all that is known. */
interface Shown extends Partial<Value> {
  phrase: string;
  /** What it is at least, whatever is told: it stands on paper where the value would be a blank. */
  least?: { phrase: string };
}

/** What an element held when its page came. */
interface Was {
  kind: string;
  size?: string;
  value?: string;
  held?: string;
  nodes: Node[];
}

/** What goes into the holes of a row of the page's templates. */
type Words = { [hole: string]: unknown };

/** What won't do: the field, and what would do. */
interface Fault<T = string> {
  field: string;
  do: T;
  given?: Told;
}

/** A job in words, as it stands from a day on. */
interface Job {
  from: string;
  job: string;
  name: string;
  section: string;
  head: string;
  day: string | null;
  dated: boolean;
  when: string;
  due: string[];
  brought_by: string;
  about?: string;
  usual: boolean;
  rests_on: Rests;
  place: number;
}

/** An entry of the book in words. */
interface EntryRow {
  id: string;
  kind: string;
  when: string;
  what: string;
  lines: string[];
  struck_by?: string;
  estimated: boolean;
}

/** A sentence of the records: text and values by turns. */
interface RecordSays {
  look: string;
  parts: string[];
}

interface RecordChart {
  says: string[];
  table: Record<string, string>[];
  rows: Words[];
  lanes?: number;
}

interface Records {
  lede: string;
  says: RecordSays[];
  charts: Record<string, RecordChart>;
  mend: ({ id: string } & Words)[];
}

interface ReadingSays {
  from: string;
  wanted: boolean;
  says: string;
}

/** A line of the record on paper: what kind it is, then its cells. */
type PaperLine = [kind: string, day: string, miles: string, hours: string, what: string, own: string[], by: string, receipt: string];
type Paper = { lines: PaperLine[] } & Record<string, string>;

/** All that the calculators make of a truck. */
interface Made {
  answers: Record<string, Answer>;
  facts: Row;
  jobs: { job: string; days: Job[] }[];
  entries: EntryRow[];
  reading: ReadingSays[];
  records: Records;
  paper: Paper;
  calendar: string;
  link: Truck;
  until: string;
}

/** What this browser keeps: a truck and, unless there was no room, all that was made of it. */
interface Saved extends Partial<Made> {
  truck: Truck;
  told?: Record<string, string>;
  unread?: Record<string, string>;
  pictures?: Record<string, string>;
  site_version?: string;
  computed_on?: string;
  filed?: number;
}

/** What waits until its owner decides: what could not be read, or a truck that was replaced. */
type Aside = { why: string; text: string; before?: undefined } | { before: Truck; why?: undefined; text?: undefined };

type Given = Record<string, string[]>;

/** What a link brings. */
interface Link {
  truck: Truck | null;
  given: Given;
  at: string;
  entry: Partial<Entry> | null;
}

// What is asked of the calculators, and what they reply --------------------------------------------

type Reply<T> = ({ ok: true; faults: Fault[] } & T) | ({ ok: false; faults: Fault[] } & { [K in keyof T]?: undefined });

interface Moved {
  label: string;
  rows: Record<"input" | "low" | "high" | "result_at_low" | "result_at_high", Value>[];
}

interface TableProblem {
  row: number;
  column: string;
  value: string;
  do: string;
}

interface Replies {
  /** Of a form in two languages so are its faults. */
  answer: { ok: true; answer: Answer<Bilingual> } | { ok: false; faults: Fault<Bilingual>[]; first?: Bilingual; answer?: undefined };
  /** Tells faults by the calculator that has them. */
  all: ({ ok: true; faults: Record<string, Fault[]> } & Made) | { ok: false; faults: Fault[] };
  convert: Reply<{ text: string }>;
  sensitivity: Reply<Moved>;
  jobs: Reply<{ jobs: Job[] }>;
  read_truck: Reply<{ truck: ReadTruck; told: Record<string, string> }>;
  join_trucks: Reply<{ truck: ReadTruck }>;
  add_entry: Reply<{ truck: ReadTruck; row?: EntryRow; asked: Fault[] }>;
  estimate: Reply<{ meters: Record<string, string> }>;
  write_table: Reply<{ text: string }>;
  read_table: Reply<{ truck: ReadTruck; added: number; others: number; problems: TableProblem[] }>;
}

type Question<D extends keyof Replies> = { do: D; [what: string]: unknown };
type Call = <D extends keyof Replies>(question: Question<D>) => Promise<Replies[D]>;

// What an element is by the selector that finds it -------------------------------------------------

type LastOf<S extends string> = S extends `${string} ${infer More}` ? LastOf<More> : S;
type TagOf<S extends string> = S extends `${infer Tag}${"[" | "." | ":" | "#"}${string}` ? TagOf<Tag> : S;
type Tagged<T> = T extends keyof HTMLElementTagNameMap ? HTMLElementTagNameMap[T]
  : T extends keyof SVGElementTagNameMap ? SVGElementTagNameMap[T] : HTMLElement;
type CamelOf<S extends string> = S extends `${infer Head}-${infer More}` ? `${Head}${Capitalize<CamelOf<More>>}` : S;
type NameIn<S extends string> = S extends `${infer Name}=${string}` ? CamelOf<Name> : CamelOf<S>;
type DataOf<S extends string> = S extends `${string}[data-${infer Asked}]${infer More}` ? NameIn<Asked> | DataOf<More> : never;
/** What a selector asks for is there: `[data-live]` finds what has a `dataset.live`. */
type With<Data extends string> = [Data] extends [never] ? unknown
  : string extends Data ? unknown : { readonly dataset: DOMStringMap & Record<Data, string> };
type One<S extends string> = Tagged<TagOf<S>> & With<DataOf<S>>;
type Picked<S extends string> = string extends S ? HTMLElement
  : S extends `${infer First}, ${infer More}` ? One<LastOf<First>> | Picked<More> : One<LastOf<S>>;

interface ParentNode {
  querySelector<S extends string>(selector: S): Picked<S> | null;
  querySelectorAll<S extends string>(selector: S): NodeListOf<Picked<S>>;
}

interface Element {
  closest<S extends string>(selector: S): Picked<S> | null;
  cloneNode(deep?: boolean): this;
}

interface HTMLElement {
  readonly children: HTMLCollectionOf<HTMLElement>;
  readonly firstElementChild: HTMLElement | null;
  readonly lastElementChild: HTMLElement | null;
  readonly nextElementSibling: HTMLElement | null;
}

/** The fields of this guide's forms. */
type Field = HTMLInputElement | HTMLSelectElement;

interface HTMLFormControlsCollection {
  [Symbol.iterator](): ArrayIterator<Field>;
  namedItem(name: string): Field | null;
}

// Events: what comes up through a page comes from an element, and from a form's own from a field -----

type From<E, T> = E & { readonly target: T };
type Typing = "input" | "change";
type Heard = Exclude<keyof HTMLElementEventMap, Typing>;
type HeardByAll = Exclude<keyof DocumentEventMap, Typing>;
type When = boolean | AddEventListenerOptions;

interface DocumentEventMap {
  answer: CustomEvent<Answer>;
  did: CustomEvent<{ job: string; day: string }>;
  undone: CustomEvent<{ job: string }>;
  beforetoggle: ToggleEvent;
}

interface Document {
  addEventListener(type: Typing, hear: (event: From<Event, Field>) => unknown, when?: When): void;
  addEventListener<K extends HeardByAll>(type: K, hear: (event: From<DocumentEventMap[K], HTMLElement>) => unknown, when?: When): void;
}

interface HTMLElement {
  addEventListener(type: Typing, hear: (event: From<Event, Field>) => unknown, when?: When): void;
  addEventListener<K extends Heard>(type: K, hear: (event: From<HTMLElementEventMap[K], HTMLElement>) => unknown, when?: When): void;
}

interface HTMLFormElement {
  addEventListener(type: Typing, hear: (event: From<Event, Field>) => unknown, when?: When): void;
  addEventListener<K extends Heard>(type: K, hear: (event: From<HTMLElementEventMap[K], HTMLElement>) => unknown, when?: When): void;
}

// Node's tests read shared.js as a module.
declare const module: object | undefined;

// What shared.js has -------------------------------------------------------------------------------

/** What a thing holds under a name of its own: of a kind that is known where the thing's is. */
type Held<T, K extends string> = unknown extends T ? unknown
  : T extends object ? K extends keyof T ? T[K] : string extends K ? T[keyof T] : undefined : undefined;
type Own = <T, K extends string>(thing: T, name: K) => Held<NonNullable<T>, K> | undefined;
type Entries = <T>(thing: T) => [string, NonNullable<T> extends Record<string, infer V> ? V : unknown][];

// What kept.js has ---------------------------------------------------------------------------------

interface WhatIsHere {
  mine: Saved | null;
  guest: boolean;
  working: boolean;
  given: Given;
  linked: boolean;
  at: string;
  entry: Partial<Entry> | null;
  problem: "" | "refused" | "broken";
  carries: boolean;
}

/** Where the truck is shown, there is one. */
type Here = WhatIsHere & ({ showing: "yours"; saved: Saved } | { showing: "example"; saved: Saved | null });

interface Runtime {
  state: "asleep" | "starting" | "slow" | "ready" | "failed";
  message: string;
  share: number;
  bytes: number;
  start(): Promise<void>;
  call: Call;
  watch(watcher: Watcher): () => void;
}

type Watcher = (runtime: Runtime) => unknown;

interface HowKept {
  watcher?: Watcher;
  /** What is kept beside the truck, by what could not be used of it. */
  more?: (faults: Fault[]) => Partial<Saved>;
  /** Whether what does not go with the rest of the book is asked about. */
  asks?: boolean;
  /** The truck that the entries were begun for; another is shown by now where another tab saved one. */
  of?: string;
  seen?: (rows: EntryRow[]) => void;
}

interface Kept {
  saved: Saved;
  faults: Fault[];
  /** Whether this browser stores it. */
  stores: boolean;
}

type Added = (Kept & { ok: true }) | { ok: false; faults: Fault[]; saved?: undefined; stores?: undefined };

interface Charts {
  pictures(answers: Record<string, Answer>): Promise<Record<string, string>>;
  show(card: HTMLElement, answer: Answer): void;
  drawing(vega: Vega, told: DrawingTold): void;
}

declare var dieselCharts: Charts | undefined;

// What single scripts have -------------------------------------------------------------------------

/** What was typed into a field of a form; once an answer came of it, what was sent. */
interface Typed {
  text: string;
  unit: string;
  good?: string;
  linked?: boolean;
  shown?: string;
  shownUnit?: string;
}

interface FormState {
  again: boolean;
  running: Promise<void> | null;
  shows: Question<"answer"> | null;
  later: number;
}

/** An error of the runtime: its words apart from what stands in their hole; final where another try would bring no other. */
interface Unable extends Error {
  final: boolean;
  told: [words: string, hole: string];
}

interface Hear {
  alive(): void;
  fail(wrong: Error): void;
  done(): void;
}

/** What the worker says: that it is ready, that it failed, or the reply to a question. */
type Replied = { id: number; reply: string; failed?: string };
type FromWorker = Replied | { id?: undefined; ready?: boolean; failed?: string };

/** What a start needs, on its way. */
interface Parts {
  key?: string;
  memory: number;
  module: Promise<WebAssembly.Module>;
  heap: Promise<ArrayBuffer> | null;
  worker: Worker;
}

/** The parts of a guide in a folder, as texts. */
interface Engine {
  scripts: string;
  wasm: string;
  snapshot: string;
  size: number;
}

declare var dieselEngine: Engine | undefined;

/** A row as a chart draws it: values by name, and their words under the name with `_words`. */
type Drawn = Record<string, unknown>;

/** What draws: of the library, as much as the charts call. */
interface VegaView {
  height(pixels: number): VegaView;
  width(pixels: number): VegaView;
  data(name: string, rows: Drawn[]): VegaView;
  toSVG(): Promise<string>;
  finalize(): void;
}

interface Vega {
  View: new (runtime: unknown, options: { expr: unknown; renderer: string }) => VegaView;
  parse(spec: unknown, config: null, options: { ast: boolean }): unknown;
  expressionInterpreter: unknown;
}

/** One kind of chart, as charts.toml declares it. */
interface ChartKind {
  calculator: string;
  list?: string;
  told?: Drawn;
  series?: Record<string, string>;
  spec?: string;
  row_height?: number;
  lane_height?: number;
  foot?: number;
  most?: number;
}

interface DrawingTold {
  kinds: Record<string, ChartKind>;
  specs: Record<string, unknown>;
  tidy: [found: string, said: string][];
}

interface DrawingTools {
  vega: Vega;
  kinds: Record<string, ChartKind>;
  specs: Record<string, unknown>;
  rules: [RegExp, string][];
  of: Record<string, string>;
}

/** What was told, by the names of fields. */
type Tellings = Record<string, Told | undefined>;

/** A job in the work order; one that is done, with what it is now. */
type OrderRow = Job & { now?: Job };

/** The reply to a question in English alone. */
interface AnswerReply {
  ok: boolean;
  answer?: Answer;
}

type AskOne = (calculator: string) => Promise<AnswerReply>;

/** What the six questions say is by these. */
interface DraftReplies {
  due: { jobs?: Job[] };
  regeneration: AnswerReply;
  idle_bill: AnswerReply;
  service_due?: AnswerReply;
}

/** A fact that would move an answer: what is asked for next. */
interface Sharpened {
  input: string;
  question: string;
  size: number;
  home: string;
  low: string;
  high: string;
  now: string;
  gain: string;
}

/** What a service worker tells of its version's files. */
interface KeptFiles {
  version: string;
  current?: string;
  whole: boolean;
  missing: [path: string, bytes: number][];
  bytes: number;
  full: boolean;
}

/** What stands in for the making of workers. */
type MakesWorker = (address: string | URL, options?: WorkerOptions) => EventTarget;

/** A request that waits for the search field. */
interface LateRequest extends XMLHttpRequest {
  waits?: boolean;
}
