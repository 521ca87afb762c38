// What was written down and is not yet with the program. It waits on the device, is sent in its order, and goes only when the program has
// acknowledged it; the keys see to it that nothing is written twice.
import { Trouble, writeEntries, type Entry, type Problem } from '../api';
import { change, fromDevice, onDevice } from '../state';

interface Waiting { gyle: string; entry: Entry }

const place = 'oddgrist.outbox.1';
const atOnce = 50;
const retryMilliseconds = 3000;
let inMemory: Waiting[] = fromDevice<Waiting[]>(place) ?? [];
let flying = false;
let retry = 0;
let oneByOne = false;
export const sending: { refused: { key: string; problems: Problem[] } | null } = { refused: null };
let arrived: (gyle: string, entries: Entry[]) => void = () => undefined;

// Another tab of this device may have written meanwhile.
function all(): Waiting[] {
  return fromDevice<Waiting[]>(place) ?? inMemory;
}
function store(list: Waiting[]): void {
  inMemory = list;
  onDevice(place, list);
}
export function whenArrived(how: typeof arrived): void {
  arrived = how;
}
export function waitingFor(gyle: string): Entry[] {
  return all().filter((each) => each.gyle === gyle).map(({ entry }) => entry);
}
export function waitingCount(): number {
  return all().length;
}
export function post(gyle: string, entries: Entry[]): void {
  change(() => store([...all(), ...entries.map((entry) => ({ gyle, entry }))]));
  void send();
}
/** The brewer gives up an entry the program will not have. */
export function dropRefused(): void {
  const { refused } = sending;
  if (refused === null) return;
  change(() => {
    store(all().filter(({ entry }) => entry.key !== refused.key));
    sending.refused = null;
  });
  void send();
}
function again(): void {
  clearTimeout(retry);
  retry = window.setTimeout(() => void send(), retryMilliseconds);
}
export async function send(): Promise<void> {
  const first = all()[0];
  if (flying || first === undefined || sending.refused !== null) return;
  flying = true;
  const end = all().findIndex(({ gyle }) => gyle !== first.gyle);
  const batch = all().slice(0, Math.min(oneByOne ? 1 : atOnce, end < 0 ? atOnce : end)).map(({ entry }) => entry);
  try {
    await writeEntries(first.gyle, batch);
    const sent = new Set(batch.map(({ key }) => key));
    change(() => {
      store(all().filter(({ entry }) => !sent.has(entry.key)));
      arrived(first.gyle, batch);
    });
  } catch (trouble) {
    const known = trouble instanceof Trouble ? trouble : new Trouble(500, []);
    if (known.status < 400 || known.status >= 500 || [401, 403, 421, 429].includes(known.status)) {
      again();
      flying = false;
      return;
    }
    if (batch.length === 1) change(() => void (sending.refused = { key: first.entry.key, problems: known.problems }));
    oneByOne = true;
  }
  flying = false;
  if (all().length === 0) oneByOne = false;
  void send();
}
window.addEventListener('online', () => void send());
