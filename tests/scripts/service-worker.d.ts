// What service-worker.js finds in its browser and in the line that macros/offline.py writes before it. Nothing of it ships.

/** A file of the guide: its path, its bytes, and a hash that it has, or some. */
type GuideFile = [path: string, bytes: number, hash: string, ...more: string[]];

interface Guide {
  version: string;
  first: GuideFile[];
  rest: GuideFile[];
  large: GuideFile[];
}

/** What a page asks of it. */
interface Ask {
  do: "look" | "fill" | "use";
  /** Whether the page speaks to the version in use. */
  active: boolean;
}

declare var guide: Guide;
declare var registration: ServiceWorkerRegistration;
declare var clients: Clients;
declare function skipWaiting(): Promise<void>;
declare function addEventListener<K extends keyof ServiceWorkerGlobalScopeEventMap>(
  type: K, hear: (event: ServiceWorkerGlobalScopeEventMap[K]) => unknown
): void;
