// The brief on one side, the proposal on the other; on a phone one under the other, with a line at the bottom that leads across.
import { emptyBrief, wire } from '../brief';
import { exampleBrief } from '../example';
import { editBrief } from '../live';
import { change, newId, state, useAll, usePart } from '../state';
import { saveFile } from '../parts/save_file';
import { shown } from '../units';
import { t } from '../words';
import { useState } from 'preact/hooks';
import { KitAndWater } from './kit_and_water';
import { KnownKit } from './known_kit';
import { outcomeWord, Proposal } from './proposal';
import { Supplies } from './supplies';
import { Want } from './want';

function fresh(brief: ReturnType<typeof emptyBrief>): void {
  change((all) => {
    all.id = newId();
    all.answer = null;
  });
  editBrief((now) => void Object.assign(now, brief));
}

async function save(): Promise<void> {
  const { brief } = state;
  await saveFile(wire(brief), brief.name.trim() || 'brief');
}

function Crossing() {
  const { answer, standing, settings } = useAll();
  const proposal = answer?.proposals[0];
  const go = (id: string): void => {
    const target = document.getElementById(id);
    target?.scrollIntoView();
    target?.focus({ preventScroll: true });
  };
  return (
    <div class="crossing">
      <button type="button" onClick={() => go('brief')}>{t('brief.heading')}</button>
      <button type="button" class="across" onClick={() => go('proposal')}>
        {proposal?.forecast.colour_srgb && <svg viewBox="0 0 10 10" aria-hidden="true"><rect width="10" height="10" rx="2" fill={proposal.forecast.colour_srgb} /></svg>}
        <span class="unseen">{t('proposal.go')}: </span>
        <span>{standing === 'answered' || standing === 'waiting' ? outcomeWord(answer) : t('proposal.heading')}</span>
        {proposal && <span class="figure">{shown(proposal.forecast.abv_percent.value, 'alcohol', settings.system)}</span>}
      </button>
    </div>
  );
}

export function ComposeView() {
  const isUntouched = ({ given, have, want }: typeof state.brief): boolean => given.length + have.length === 0 && Object.keys(want).length === 0;
  const { brief, answer } = usePart((all) => [all.brief.name, isUntouched(all.brief), all.answer === null, all.settings]);
  const [sure, setSure] = useState(false);
  const untouched = isUntouched(brief);
  return (
    <div class="compose">
      <section id="brief" tabIndex={-1} aria-labelledby="brief-heading">
        <h2 id="brief-heading" class="unseen">{t('brief.heading')}</h2>
        <div class="title-line">
          <label for="brief-name" class="unseen">{t('brief.name')}</label>
          <input id="brief-name" class="title" placeholder={t('brief.name')} autocomplete="off" value={brief.name} onInput={(event) => { const name = event.currentTarget.value; editBrief((now) => void (now.name = name)); }} />
        </div>
        <Supplies side="given" />
        <Want />
        <Supplies side="have" />
        <KitAndWater />
        <KnownKit />
        <div class="brief-actions">
          {untouched ? (
            <button type="button" onClick={() => fresh(exampleBrief())}>{t('brief.example')}</button>
          ) : (
            <>
              <button type="button" onClick={() => void save().catch(() => undefined)}>{t('brief.save')}</button>
              <button type="button" onBlur={() => setSure(false)} onClick={() => { if (sure) fresh(emptyBrief()); setSure(!sure); }}>{t(sure ? 'brief.new.sure' : 'brief.new')}</button>
            </>
          )}
        </div>
      </section>
      <Proposal key={answer === null ? 'none' : 'some'} />
      <Crossing />
    </div>
  );
}
