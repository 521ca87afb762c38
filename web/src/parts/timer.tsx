// How long is left until a moment, by the clock on the wall: right after a reload, and after the device slept.
import { useEffect, useState } from 'preact/hooks';
import { ring, stayAwake } from '../day/alarm';
import { fromDevice, onDevice, state } from '../state';
import { t } from '../words';

const two = (value: number): string => String(value).padStart(2, '0');
function clock(seconds: number): string {
  const whole = Math.abs(seconds);
  const hours = Math.floor(whole / 3600);
  return `${hours > 0 ? `${hours}:` : ''}${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}`;
}
export const wallClock = (time: number): string => new Date(time).toLocaleTimeString(state.settings.language, { hour: '2-digit', minute: '2-digit' });

// The present second, whenever somebody looks.
export function useNow(): number {
  const [now, set] = useState(Date.now());
  useEffect(() => {
    const look = (): void => set(Date.now());
    const timer = setInterval(look, 500);
    document.addEventListener('visibilitychange', look);
    return () => {
      clearInterval(timer);
      document.removeEventListener('visibilitychange', look);
    };
  }, []);
  return now;
}

/** `mark`: rings once for each; `place`: where on the device it is kept that it rang. */
export function Timer({ due, mark, place, awake = true }: { due: number; mark: string; place: string; awake?: boolean }) {
  const now = useNow();
  const left = Math.ceil((due - now) / 1000);
  const over = left <= 0;
  useEffect(() => (awake ? stayAwake() : undefined), [awake]);
  useEffect(() => {
    if (!over || fromDevice<string>(place) === mark) return;
    onDevice(place, mark);
    ring();
  }, [over, mark]);
  return (
    <div class={`timer ${over ? 'over' : ''}`} role="timer" aria-label={t('day.timer')}>
      <span class="digits">{over && left < 0 ? '+' : ''}{clock(left)}</span>
      <span>{t(over ? 'day.timer.over' : 'day.timer.until', { time: wallClock(due) })}</span>
    </div>
  );
}
