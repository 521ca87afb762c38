// The brew day: the one thing to do now, large; what comes next; where it stands; what can still be done.
import { useEffect, useState } from 'preact/hooks';
import type { Move, Step, What } from '../api';
import { RunSheet } from '../compose/run_sheet';
import { Timer, wallClock } from '../parts/timer';
import { change, state, useAll } from '../state';
import { t } from '../words';
import { allowSound } from './alarm';
import { askMoves, day, entriesNow, lastGroup, listen, load, openGyle, undo, whyNot, write } from './day';
import { doneText, doneTimes, dueAt, holding, stepDone } from './log';
import { send } from './outbox';
import { Sending } from './sending';
import { ReadingPad } from './reading_pad';
import { Deviations } from './deviations';
import { Moves, StandingTable } from './standing';

const rungPlace = 'oddgrist.rung.1';
function Expected({ step }: { step: Step }) {
  return <>{step.expected.map((reading) => <p key={reading.what} class="expected" lang="en">{reading.what}: <strong>{reading.words}</strong></p>)}</>;
}

function Present({ step, due, undoing }: { step: Step | undefined; due: number | null; undoing: string }) {
  const [reading, setReading] = useState(false);
  const save = (what: What): void => {
    write([what]);
    setReading(false);
  };
  const finish = (): void => {
    allowSound();
    if (step !== undefined) write([{ kind: 'note', body: { text: doneText(step) } }, ...(step.reaches === undefined ? [] : [{ kind: 'reached' as const, body: { stage: step.reaches } }])]);
  };
  if (reading) return <ReadingPad step={step} save={save} close={() => setReading(false)} />;
  return (
    <>
      {step === undefined ? <p class="do">{t('day.over')}</p> : (
        <>
          <p class="phase" lang="en">{step.phase}{step.clock && `, ${step.clock}`}</p>
          <p class="do" lang="en">{step.action}</p>
          {step.warning && <p class="note danger"><strong>{t('severity.danger')}:</strong> <span lang="en">{step.warning}</span></p>}
          <Expected step={step} />
          {due !== null && <Timer due={due} mark={`${day.gyle} ${step.name} ${due}`} place={rungPlace} />}
        </>
      )}
      <div class="big-actions">
        {step !== undefined && <button type="button" class="main-action" onClick={finish}>{t('day.done')}</button>}
        <button type="button" onClick={() => { allowSound(); setReading(true); }}>{t('day.reading')}</button>
        <button type="button" disabled={undoing === ''} onClick={undo}>{t('day.undo')}{undoing !== '' && <span class="aside"> {undoing}</span>}</button>
      </div>
    </>
  );
}

function OpenDay() {
  const { kept, sheet } = day;
  if (kept === null || sheet === null) return <section id="proposal" tabIndex={-1} class="day-empty" aria-label={t('nav.day')}><p class="hint" role="status">{whyNot()}</p></section>;
  const held = holding(entriesNow());
  const done = doneTimes(held);
  const steps = sheet.sheet;
  const at = steps.findIndex(({ name }) => !done.has(name));
  const step = at < 0 ? undefined : steps[at];
  const next = at < 0 ? [] : steps.map((each, index) => ({ each, index })).slice(at + 1).filter(({ each }) => !done.has(each.name)).slice(0, 3);
  const last = lastGroup(held)[0];
  const take = (move: Move | null): void => {
    if (move !== null) write(move.move.entries.map(({ version: _version, ...what }) => what));
    change(() => void (day.moves = null));
    void load();
  };
  // What a reading has just brought up comes before what is next.
  const fresh = day.moves !== null || day.asking;
  const moves = <Moves moves={day.moves} asking={day.asking} ask={() => void askMoves()} take={take} />;
  const undoing = last === undefined ? '' : (stepDone(last) ?? t(`entry.${last.kind}`));
  return (
    <div class="day">
      <section id="proposal" tabIndex={-1} class="present" aria-labelledby="present-heading">
        <div class="day-head"><h2 id="present-heading">{sheet.name || day.gyle}</h2><Sending reading={day.fault} /></div>
        <Present step={step} due={dueAt(steps, at, done, sheet.boil_minutes)} undoing={undoing} />
      </section>
      <div class="around">
        {fresh && moves}
        <Deviations key={day.gyle} step={step} held={held} write={(what) => write([what])} />
        {next.length > 0 && (
          <section aria-labelledby="next-heading">
            <h3 id="next-heading">{t('day.next')}</h3>
            <ol class="next">
              {next.map(({ each, index }) => {
                const due = each.to_go === undefined ? null : dueAt(steps, index, done, sheet.boil_minutes);
                return <li key={each.name}><span class="aside">{due !== null ? wallClock(due) : each.clock || each.phase}</span> <span lang="en">{each.action}</span>{each.warning && <strong class="mind" lang="en"> {each.warning}</strong>}</li>;
              })}
            </ol>
          </section>
        )}
        {!fresh && moves}
        <StandingTable gyle={kept} />
        <div class="form-actions"><button type="button" onClick={() => window.print()}>{t('day.print')}</button> <a class="button" href={`#/gyles/${encodeURIComponent(day.gyle)}`}>{t('day.log')}</a></div>
      </div>
      <section class="printed" aria-label={t('proposal.sheet')}>
        <h1>{sheet.name || day.gyle}</h1>
        <RunSheet lines={steps} />
      </section>
    </div>
  );
}

export function gyleInAddress(path: string): string | null {
  const address = location.hash.slice(1);
  return address.startsWith(`${path}/`) ? decodeURIComponent(address.slice(path.length + 1)) : null;
}

export function DayView() {
  useAll();
  const named = gyleInAddress('/day');
  useEffect(() => {
    if (named !== null && named !== '') openGyle(named);
    else void load();
    void send();
  }, [named, state.settings.system]);
  useEffect(listen, []);
  if (day.gyle === '') return <section id="proposal" tabIndex={-1} class="day-empty" aria-label={t('nav.day')}><p>{t('day.none')}</p><p><a href="#/gyles">{t('nav.gyles')}</a>, <a href="#/compose">{t('nav.compose')}</a></p></section>;
  return <OpenDay />;
}
