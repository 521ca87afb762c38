// What stands around every view: the name, the rooms, and the three switches.
import { useEffect, useState } from 'preact/hooks';
import { whenToldOfStore } from './api';
import { Pair } from './pair';
import { Devices } from './parts/devices';
import { change, state, usePart, type Theme } from './state';
import { views } from './views';
import { t, type Word } from './words';

whenToldOfStore((readOnly) => { if (readOnly !== state.readOnly) change(() => void (state.readOnly = readOnly)); });

const themes: Theme[] = ['auto', 'light', 'dark'];
const marks: Record<Theme, string> = { auto: '◐', light: '○', dark: '●' };

function useAddress(): string {
  const [address, set] = useState(location.hash.slice(1));
  useEffect(() => {
    const moved = (): void => set(location.hash.slice(1));
    window.addEventListener('hashchange', moved);
    return () => window.removeEventListener('hashchange', moved);
  }, []);
  return address;
}

function Switches() {
  const { system, theme, language } = usePart((all) => all.settings).settings;
  const otherSystem = system === 'si' ? 'us' : 'si';
  const nextTheme = themes[(themes.indexOf(theme) + 1) % themes.length] as Theme;
  const label = (word: Word, now: Word, other: Word): string => t(word, { now: t(now), other: t(other) });
  return (
    <div class="switches">
      <button type="button" aria-label={label('units.switch', `units.${system}`, `units.${otherSystem}`)} onClick={() => change((all) => void (all.settings.system = otherSystem))}>
        {t(`units.${system}`)}
      </button>
      <button type="button" aria-label={label('theme.switch', `theme.${theme}`, `theme.${nextTheme}`)} onClick={() => change((all) => void (all.settings.theme = nextTheme))}>
        {marks[theme]}
      </button>
      <button type="button" lang={language === 'en' ? 'de' : 'en'} aria-label={`${language === 'en' ? 'DE' : 'EN'}: ${t('language.switch')}`} onClick={() => change((all) => void (all.settings.language = language === 'en' ? 'de' : 'en'))}>
        {language === 'en' ? 'DE' : 'EN'}
      </button>
    </div>
  );
}

export function Shell() {
  const { standing, readOnly } = usePart((all) => [all.standing === 'unpaired', all.readOnly, all.settings]);
  const address = useAddress();
  const view = views.find(({ path }) => address === path || address.startsWith(`${path}/`)) ?? views[0];
  if (view === undefined) return null;
  const Draw = view.draw;
  return (
    <>
      <a class="skip" href="#proposal" onClick={(event) => { event.preventDefault(); document.getElementById('proposal')?.focus(); }}>{t('app.skip')}</a>
      <header class="top">
        <h1>{t('app.name')}</h1>
        {views.length > 1 && (
          <nav aria-label={t('nav.label')}>
            {views.map(({ path, word }) => <a key={path} href={`#${path}`} aria-current={path === view.path ? 'page' : undefined}>{t(word)}</a>)}
          </nav>
        )}
        <Switches />
      </header>
      <div role="status">{readOnly && <p class="note danger read-only"><strong>{t('store.damaged')}</strong> {t('store.read-only')}</p>}</div>
      <main>{standing === 'unpaired' ? <Pair /> : <Draw />}</main>
      <footer class="foot">
        {standing !== 'unpaired' && <Devices />}
        <a href="/notices.txt">{t('app.notices')}</a>
      </footer>
    </>
  );
}
