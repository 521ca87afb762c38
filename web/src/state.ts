// Everything the page knows, in one place. A change goes through `change`, which draws the page again and keeps the brief on the device.
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { Answer, Problem, SheetLine } from './api';
import { emptyBrief, type Brief } from './brief';
import { emptyFerment, type Ferment } from './ferment/readings';
import type { System } from './units';
import { speak, type Language } from './words';

export type Theme = 'auto' | 'light' | 'dark';
export type Standing = 'idle' | 'waiting' | 'answered' | 'unfinished' | 'problems' | 'offline' | 'unpaired' | 'fault';

export interface State {
  id: string; // of the open brief
  brief: Brief;
  learned: boolean; // reckon with what the gyles have taught about its kit
  answer: Answer | null; // the last one; not of this very brief unless `standing` is answered or waiting
  answers: number; // counts them
  way: number; // which proposal is looked at, from 0
  sheet: { way: number; lines: SheetLine[] } | null;
  ferment: Ferment; // the readings typed
  standing: Standing;
  problems: Problem[];
  readOnly: boolean; // the store was found damaged: nothing is written until it is mended
  settings: { system: System; theme: Theme; language: Language };
}

const keptBrief = 'oddgrist.brief.1';
const keptFerment = 'oddgrist.ferment.1';
const keptSettings = 'oddgrist.settings.1';

export function fromDevice<T>(key: string): T | null {
  try {
    return JSON.parse(localStorage.getItem(key) ?? 'null') as T | null;
  } catch {
    return null;
  }
}
/** False: a device that keeps nothing (private mode, full). It still composes. */
export function onDevice(key: string, value: unknown): boolean {
  try {
    localStorage.setItem(key, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}

/** A part of the page that keeps what is typed in it on the device. */
export function keptOnDevice<T extends object>(place: string, begin: () => T): { now: T; edit(how: (now: T) => void): void } {
  const now: T = { ...begin(), ...fromDevice<T>(place) };
  return {
    now,
    edit: (how) => {
      change(() => how(now));
      onDevice(place, now);
    },
  };
}

/** This moment by the clock on the wall, without a zone, as such a field has it. */
export function wallTime(at = Date.now()): string {
  return new Date(at - new Date(at).getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
}

export function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

function begin(): State {
  const kept = fromDevice<Pick<State, 'id' | 'brief' | 'learned' | 'answer'>>(keptBrief);
  const settings = fromDevice<Partial<State['settings']>>(keptSettings) ?? {};
  const language: Language = navigator.language.startsWith('de') ? 'de' : 'en';
  return {
    id: kept?.id ?? newId(),
    brief: { ...emptyBrief(), ...kept?.brief },
    learned: kept?.learned ?? false,
    answer: kept?.answer ?? null,
    answers: 0,
    way: 0,
    sheet: null,
    ferment: { ...emptyFerment(), ...fromDevice<Ferment>(keptFerment) },
    standing: 'idle',
    problems: [],
    readOnly: false,
    settings: { system: 'si', theme: 'auto', language, ...settings },
  };
}

export const state: State = begin();
const watchers = new Set<() => void>();
let toKeep = 0;

export function change(how: (state: State) => void): void {
  how(state);
  dress();
  for (const watcher of watchers) watcher();
  // Not while a slider moves: writing is slow on a phone.
  clearTimeout(toKeep);
  toKeep = window.setTimeout(keep, 250);
}
export function keep(): void {
  onDevice(keptBrief, { id: state.id, brief: state.brief, learned: state.learned, answer: state.answer });
  onDevice(keptFerment, state.ferment);
  onDevice(keptSettings, state.settings);
}
export function dress(): void {
  speak(state.settings.language);
  const { dataset } = document.documentElement;
  if (dataset['theme'] !== state.settings.theme) dataset['theme'] = state.settings.theme;
}
/** Draws the component again at every change. */
export function useAll(): State {
  const [, again] = useState(0);
  // At once, not after the first painting: without a network the first change comes before that.
  useLayoutEffect(() => {
    const watcher = (): void => again((count) => count + 1);
    watchers.add(watcher);
    return () => void watchers.delete(watcher);
  }, []);
  return state;
}
/** Draws the component again only when what it shows has changed: `part` names all of that. A slider moves sixty times a second. */
export function usePart(part: (state: State) => unknown): State {
  const now = JSON.stringify(part(state));
  const [, again] = useState(0);
  const drawn = useRef(now);
  drawn.current = now;
  useLayoutEffect(() => {
    const watcher = (): void => {
      if (JSON.stringify(part(state)) !== drawn.current) again((count) => count + 1);
    };
    watchers.add(watcher);
    return () => void watchers.delete(watcher);
  }, []);
  return state;
}
