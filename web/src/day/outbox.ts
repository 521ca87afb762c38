// What was written down and is not yet with the program. It waits on the device, is sent in its order, and goes only when the program has
// acknowledged it or the brewer drops what was refused; the keys see to it that nothing is written twice.
import { Trouble, writeEntries, writeStock, type Entry, type Problem, type StockWrite } from '../api';
import { BackOff, faultOf, type Fault } from '../parts/faults';
import { change, fromDevice, onDevice } from '../state';

/** Stands where a gyle's name would, for what goes into the larder. */
export const larder = '';
type Written = Entry | StockWrite;
interface Waiting { gyle: string; entry: Written }

const place = 'oddgrist.outbox.1';
const atOnce = 50;
let inMemory: Waiting[] = fromDevice<Waiting[]>(place) ?? [];
let onlyInMemory = false; // the device would not keep the last change
let flying = false;
let retry = 0;
let oneByOne = false;
const missing = new Set<string>(); // gyles the program does not know: others do not wait for them
const backOff = new BackOff();
export const sending: { refused: { key: string; problems: Problem[] } | null; fault: Fault | null } = { refused: null, fault: null };
const arrivals = new Set<(gyle: string, entries: Written[]) => void>();

// Another tab of this device may have written meanwhile.
function all(): Waiting[] {
  return onlyInMemory ? inMemory : fromDevice<Waiting[]>(place) ?? inMemory;
}
function store(list: Waiting[]): void {
  inMemory = list;
  onlyInMemory = !onDevice(place, list);
}
/** Returns what ends the listening. */
export function whenArrived(how: (gyle: string, entries: Written[]) => void): () => void {
  arrivals.add(how);
  return () => void arrivals.delete(how);
}
export function waitingFor(gyle: string): Entry[] {
  return all().filter((each) => each.gyle === gyle).map(({ entry }) => entry as Entry);
}
export function waitingCount(): number {
  return all().length;
}
export function post(gyle: string, entries: Written[]): void {
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
function again(trouble: unknown): void {
  clearTimeout(retry);
  retry = window.setTimeout(() => {
    missing.clear();
    void send();
  }, backOff.next(trouble));
}
export async function send(): Promise<void> {
  const due = all().filter(({ gyle }) => !missing.has(gyle));
  const first = due[0];
  if (flying || first === undefined || sending.refused !== null) return;
  flying = true;
  const end = due.findIndex(({ gyle }) => gyle !== first.gyle);
  const batch = due.slice(0, Math.min(oneByOne ? 1 : atOnce, end < 0 ? atOnce : end)).map(({ entry }) => entry);
  try {
    if (first.gyle === larder) await writeStock(batch as StockWrite[]);
    else await writeEntries(first.gyle, batch as Entry[]);
    const sent = new Set(batch.map(({ key }) => key));
    backOff.reset();
    change(() => {
      store(all().filter(({ entry }) => !sent.has(entry.key)));
      sending.fault = missing.size > 0 ? 'missing' : null;
      for (const arrived of arrivals) arrived(first.gyle, batch);
    });
  } catch (trouble) {
    const fault = faultOf(trouble);
    if (fault === 'refused') {
      const problems = trouble instanceof Trouble ? trouble.problems : [];
      if (batch.length === 1) change(() => Object.assign(sending, { refused: { key: first.entry.key, problems }, fault: null }));
      oneByOne = true;
    } else {
      change(() => void (sending.fault = fault));
      again(trouble);
      flying = false;
      if (fault === 'missing') {
        missing.add(first.gyle);
        void send();
      }
      return;
    }
  }
  flying = false;
  if (all().length === 0) oneByOne = false;
  void send();
}
window.addEventListener('online', () => void send());
// What waited when the page was closed is sent wherever it is opened again.
void send();
