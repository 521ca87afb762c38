// What an ingredient can do to whoever eats or drinks it.
import type { Hazard } from '../api';
import { t } from '../words';

export function Hazards({ hazards }: { hazards: Hazard[] }) {
  return (
    <>
      {hazards.map(({ severity, text, instead, source }) => (
        <div key={text} class={`note ${severity}`}>
          <strong>{t(`severity.${severity}`)}</strong> <span lang="en">{text}</span>
          {instead !== '' && <p><strong>{t('larder.instead')}</strong> <span lang="en">{instead}</span></p>}
          {source !== '' && <p class="aside" lang="en">{t('proposal.source', { source })}</p>}
        </div>
      ))}
    </>
  );
}
