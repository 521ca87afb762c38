// A swap among several brewers: parcels checked, drawn, tasted blind and placed.
import { useEffect, useState } from 'preact/hooks';
import { askRound, Trouble, type Problem, type RoundLine } from '../api';
import { BareField, numberIn } from '../parts/bare_field';
import { hear } from '../parts/hear';
import { ProblemNote } from '../parts/problem_note';
import { saveFile } from '../parts/save_file';
import { newId, useAll } from '../state';
import { volume } from '../units';
import { dayOf, figure, isWord, t } from '../words';
import { exampleRound } from './example';
import { bringIn, dropRefused, load, otherRounds, round, sending, waitingCount } from './kept';
import { Members } from './members';
import { emptyRound, namesIn, roundOnWire, type Check, type Draw, type Places, type Sheets } from './round';

const allergenWord = (name: string): string => { const key = `allergen.${name}`; return isWord(key) ? t(key) : name; };

function Obstacle({ words, cures }: { words: string | undefined; cures: string[] | undefined }) {
  return words === undefined ? null : (
    <div class="note caution"><strong>{t('round.no-draw')}</strong> <span lang="en">{words}.</span>
      {cures !== undefined && cures.length > 0 && <><p>{t('round.cure')}</p><ul lang="en">{cures.map((cure) => <li key={cure}>{cure}</li>)}</ul></>}
    </div>
  );
}

function Checked({ check }: { check: Check }) {
  const { system } = useAll().settings;
  return (
    <>
      <ul class="parcels">
        {check.result.parcels.map(({ giver, allergens, findings }) => (
          <li key={giver}>
            <h4>{t('round.parcel.of', { giver })}</h4>
            {allergens.length > 0 && <p class="hint">{t('larder.contains')} {allergens.map(allergenWord).join(', ')}</p>}
            {findings.map(({ brewers, kit, verdict, reasons, beer }) => (
              <div key={brewers.join()} class={`finding-of ${verdict}`}>
                <strong>{t(`round.verdict.${verdict}`)}</strong> <span class="aside">{kit}: {brewers.join(', ')}</span>
                {beer && verdict !== 'refused' && <p class="hint">{volume(beer.volume_l, system)}, {figure(beer.abv_percent, 1)} % vol, {figure(beer.bitterness_ibu, 0)} IBU</p>}
                {reasons.map((reason) => <p key={reason} class={`note ${verdict === 'refused' ? 'refuse' : 'caution'}`} lang="en">{reason}</p>)}
              </div>
            ))}
          </li>
        ))}
      </ul>
      {check.bar_words.length > 0 && <details><summary>{t('round.bars', { n: check.bar_words.length })}</summary><ul class="reasons" lang="en">{check.bar_words.map(({ brewer, giver, words }) => <li key={`${brewer} ${giver} ${words}`}>{brewer} ← {giver}: {words}</li>)}</ul></details>}
      <Obstacle words={check.obstacle_words} cures={check.cure_words} />
    </>
  );
}

function BlindSheets({ sheets }: { sheets: Sheets }) {
  const { now, edit } = round;
  const { key, sheets: each } = sheets.result;
  const [judge, setJudge] = useState(each[0]?.judge ?? '');
  const criteria = namesIn(now.criteria);
  const columns = criteria.length > 0 ? criteria : [''];
  const codes = each.find((one) => one.judge === judge)?.codes ?? [];
  const elsewhere = !now.closed && now.marks[judge] === undefined && now.handed.includes(judge);
  const mark = (code: string, criterion: string, text: string): void => edit((all) => {
    const value = numberIn(text);
    const mine = (all.marks[judge] ??= {});
    const beer = (mine[code] ??= {});
    if (value === null) delete beer[criterion];
    else beer[criterion] = value;
    if (Object.keys(beer).length === 0) delete mine[code];
    if (Object.keys(mine).length === 0) delete all.marks[judge];
  });
  return (
    <>
      <div class="form-actions"><button type="button" onClick={() => window.print()}>{t('round.sheets.print')}</button></div>
      <details class="steward"><summary>{t('round.key')}</summary>
        <table><caption>{t('round.key.how')}</caption><tbody>{key.map(({ code, brewer, giver }) => <tr key={code}><th scope="row">{code}</th><td>{brewer}{giver !== undefined && ` ← ${giver}`}</td></tr>)}</tbody></table>
      </details>
      <div class="printed judges" aria-hidden="true">
        {each.map((sheet) => <section key={sheet.judge}><h2>{now.name}</h2><h3>{sheet.judge}</h3><table><thead><tr><td></td>{columns.map((name) => <th key={name}>{name || t('trial.score')}</th>)}</tr></thead><tbody>{sheet.codes.map((code) => <tr key={code}><th>{code}</th>{columns.map((name) => <td key={name}>____</td>)}</tr>)}</tbody></table></section>)}
      </div>
      <h3>{t('round.scores')}</h3>
      <p class="hint">{t('round.scores.how')}</p>
      <div class="field wide"><label for="round-judge">{t('round.judge')}</label><select id="round-judge" value={judge} onChange={(event) => setJudge(event.currentTarget.value)}>{each.map((one) => <option key={one.judge} value={one.judge}>{one.judge}{now.marks[one.judge] || now.handed.includes(one.judge) ? ' ✓' : ''}</option>)}</select></div>
      {elsewhere ? <p class="note">{t('round.elsewhere')}</p> : <table class="marks">
        <caption class="unseen">{t('round.scores')}</caption>
        <thead><tr><th scope="col">{t('round.code')}</th>{columns.map((name) => <th key={name} scope="col">{name || t('trial.score')}</th>)}</tr></thead>
        <tbody>{codes.map((code) => <tr key={`${judge} ${code}`}><th scope="row">{code}</th>{columns.map((name) => <td key={name}><input class="count" inputMode="decimal" autocomplete="off" aria-label={`${code} ${name || t('trial.score')}`} value={now.marks[judge]?.[code]?.[name] ?? ''} onChange={(event) => mark(code, name, event.currentTarget.value)} /></td>)}</tr>)}</tbody>
      </table>}
    </>
  );
}

function Placed({ places }: { places: Places }) {
  const { beers, judges, unscored, left_out, groups } = places.result;
  const ends = beers.flatMap(({ ahead, low, high }) => [ahead, low ?? ahead, high ?? ahead]);
  const from = Math.min(...ends, 0) - 0.2, to = Math.max(...ends, 0) + 0.2;
  const at = (value: number): number => (100 * (value - from)) / (to - from);
  return (
    <>
      {groups > 1 && <p class="note caution">{t('round.groups', { n: groups })}</p>}
      <ol class="places">
        {beers.map(({ brewer, giver, group, place, score, ahead, low, high, alike }) => (
          <li key={brewer}>
            <strong class="place">{place}</strong>
            <div><h4>{brewer}{giver !== undefined && <span class="aside"> {t('round.parcel.of', { giver })}</span>}</h4>
              <p>{t('round.score', { score: figure(score, 1) })}{groups > 1 && ` (${group})`}{low !== null && high !== null && <span class="aside"> {t('round.ahead', { ahead: figure(ahead, 1), low: figure(low, 1), high: figure(high, 1) })}</span>}</p>
              <svg viewBox="0 0 100 12" preserveAspectRatio="none" aria-hidden="true"><rect class="axis" x="0" y="5.5" width="100" height="1" />{low !== null && high !== null && <rect class="likely" x={at(low)} y="3" width={Math.max(0.6, at(high) - at(low))} height="6" />}<rect class="value" x={at(ahead) - 0.5} y="0" width="1" height="12" /></svg>
              {alike.length > 0 && <p class="hint">{t('round.alike', { names: alike.join(', ') })}</p>}
            </div>
          </li>
        ))}
      </ol>
      {unscored.length > 0 && <p class="note">{t('round.unscored', { names: unscored.join(', ') })}</p>}
      {left_out.map(({ what, remedy }) => <p key={what} class="note caution" lang="en">{what}. {remedy}.</p>)}
      {judges.length > 0 && <details><summary>{t('round.judges')}</summary><table><tbody>{judges.map(({ judge, lean }) => <tr key={judge}><th scope="row">{judge}</th><td>{lean > 0 ? '+' : ''}{figure(lean, 1)}</td></tr>)}</tbody></table></details>}
    </>
  );
}

function Sending() {
  const waiting = waitingCount();
  const { fault, refused } = sending;
  return (
    <>
      <p class="hint" role="status">
        {fault === 'storeless' ? t('round.storeless') : fault !== null ? `${waiting > 0 ? `${t('round.unsent', { n: waiting })} ` : ''}${t(`fault.${fault}`)} ${t('fault.kept')}` : waiting === 0 ? t('round.stored') : refused === null ? t('round.sending') : t('round.unsent', { n: waiting })}
      </p>
      {refused !== null && (
        <div role="alert">
          {refused.problems.map((problem, index) => <ProblemNote key={index} id={`round-kept-problem-${index}`} problem={problem} />)}
          <p>{t('round.refused')} <button type="button" class="quiet" onClick={dropRefused}>{t('round.drop')}</button></p>
        </div>
      )}
    </>
  );
}

/** Rounds begun on this device or another. */
function Others({ heard }: { heard: number }) {
  const [others, setOthers] = useState<RoundLine[]>([]);
  const [opened, setOpened] = useState(false);
  const { id } = round.now;
  useEffect(() => void otherRounds().then(setOthers), [id, heard]);
  return others.length === 0 ? null : (
    <details class="part" onToggle={(event) => setOpened(event.currentTarget.open)}><summary><h3>{t('round.others', { n: others.length })}</h3></summary>
      {opened && <ul class="rounds">{others.map((one) => <li key={one.round}><button type="button" class="quiet" onClick={() => void load(one.round)}>{one.name || t('round.unnamed')}</button> <span class="aside">{dayOf(one.changed_at.slice(0, 10))}{one.closed && `, ${t('round.closed')}`}</span></li>)}</ul>}
    </details>
  );
}

/** All sheets are in: what every judge marked may be seen. It cannot be taken back, so it takes two taps. */
function Closing() {
  const { now, edit } = round;
  const [sure, setSure] = useState(false);
  if (now.closed) return <p class="hint">{t('round.closed.now')}</p>;
  const any = Object.keys(now.marks).length > 0 || now.handed.length > 0;
  return (
    <>
      <p class="hint">{t('round.close.how')}</p>
      <div class="form-actions"><button type="button" disabled={!any} onBlur={() => setSure(false)} onClick={() => { if (sure) edit((all) => void (all.closed = true)); setSure(!sure); }}>{t(sure ? 'round.close.sure' : 'round.close')}</button></div>
    </>
  );
}

type Says = { check?: Check; draw?: Draw; sheets?: Sheets; rank?: Places };
type Asked = keyof Says;

export function RoundView() {
  useAll();
  const [heard, setHeard] = useState(0); // counts what was written
  useEffect(() => {
    bringIn();
    return hear('round', () => {
      void load();
      setHeard((count) => count + 1);
    });
  }, []);
  const { now, edit } = round;
  const [says, setSays] = useState<{ [What in Asked]?: { answer: NonNullable<Says[What]>; of: string } }>({});
  const [problems, setProblems] = useState<{ of: Asked; list: Problem[] } | null>(null);
  const [asking, setAsking] = useState<Asked | null>(null);
  const [sure, setSure] = useState(false);
  const wire = roundOnWire(now);
  // Marks do not change what a parcel is worth.
  const of = (what: Asked): string => JSON.stringify(what === 'rank' ? wire : { ...wire, sheet: undefined, ...(what === 'sheets' ? {} : { drawn: undefined }) });
  const ask = async (what: Asked): Promise<void> => {
    setAsking(what);
    const about = of(what);
    try {
      const answer = await askRound<NonNullable<Says[Asked]>>(what, wire);
      setSays((before) => ({ ...before, [what]: { answer, of: about } }));
      setProblems(null);
      const pairs = what === 'draw' ? (answer as Draw).result.pairs : [];
      if (pairs.length > 0) edit((all) => void (all.drawn = Object.fromEntries(pairs.map(({ brewer, giver }) => [brewer, giver]))));
    } catch (trouble) {
      const told = trouble instanceof Trouble ? trouble.problems : [];
      setProblems({ of: what, list: told.length > 0 ? told : [{ what: t('ferment.fault'), remedy: t('ferment.again') }] });
    }
    setAsking(null);
  };
  const fresh = (what: Asked): boolean => says[what]?.of === of(what);
  const enough = now.members.length > 1;
  const part = (what: Asked, ready: boolean) => (
    <>
      <div class="form-actions"><button type="button" class={fresh(what) ? '' : 'main-action'} disabled={!ready || asking !== null} onClick={() => void ask(what)}>{t(asking === what ? 'round.asking' : `round.ask.${what}`)}</button></div>
      {problems?.of === what && problems.list.map((problem, index) => <ProblemNote key={index} id={`round-${what}-problem-${index}`} problem={problem} />)}
      {says[what] && !fresh(what) && <p class="note caution">{t('round.stale')}</p>}
    </>
  );
  const nextRound = (): void => edit((all) => {
    if (all.drawn !== null) all.past.push({ name: all.name.trim() || String(all.past.length + 1), brewed: all.drawn });
    Object.assign(all, { id: newId(), closed: false, handed: [], drawn: null, marks: {}, drawSeed: null, codeSeed: null });
    for (const member of all.members) member.parcel = [];
  });
  return (
    <div class="compose round-room">
      <section id="brief" tabIndex={-1} aria-labelledby="round-heading">
        <h2 id="round-heading">{t('round.heading')}</h2>
        <p class="hint">{t('round.about')}</p>
        <Sending />
        <Others heard={heard} />
        <div class="fields">
          <div class="field"><label for="round-name">{t('round.name')}</label><input id="round-name" autocomplete="off" value={now.name} onInput={(event) => { const name = event.currentTarget.value; edit((all) => void (all.name = name)); }} /></div>
          <div class="field"><label for="round-guests">{t('round.guests')}</label><input id="round-guests" autocomplete="off" value={now.guests} onInput={(event) => { const guests = event.currentTarget.value; edit((all) => void (all.guests = guests)); }} /></div>
          <div class="field"><label for="round-criteria">{t('round.criteria')}</label><input id="round-criteria" autocomplete="off" placeholder={t('round.criteria.none')} value={now.criteria} onInput={(event) => { const criteria = event.currentTarget.value; edit((all) => void (all.criteria = criteria)); }} /></div>
        </div>
        <p class="ticks"><label><input type="checkbox" checked={now.straight} onChange={(event) => { const { checked } = event.currentTarget; edit((all) => void (all.straight = checked)); }} /> {t('round.straight')}</label> <label><input type="checkbox" checked={now.onlySound} onChange={(event) => { const { checked } = event.currentTarget; edit((all) => void (all.onlySound = checked)); }} /> {t('round.only-sound')}</label></p>
        <Members />
        <div class="form-actions">
          {now.members.length === 0 && <button type="button" onClick={() => edit((all) => void Object.assign(all, exampleRound()))}>{t('round.example')}</button>}
          {now.members.length > 0 && <button type="button" onClick={() => void saveFile(wire, now.name.trim() || 'round')}>{t('brief.save')}</button>}
          {now.drawn !== null && <button type="button" onClick={nextRound}>{t('round.next')}</button>}
          {now.members.length > 0 && <button type="button" onClick={() => { if (sure) { edit((all) => void Object.assign(all, emptyRound())); setSays({}); } setSure(!sure); }}>{t(sure ? 'brief.new.sure' : 'round.clear')}</button>}
        </div>
      </section>
      <section id="proposal" tabIndex={-1} aria-label={t('round.says')} aria-busy={asking !== null}>
        <section aria-labelledby="check-heading"><h3 id="check-heading">1. {t('round.check')}</h3><p class="hint">{t('round.check.how')}</p>{part('check', enough)}{says.check && <Checked check={says.check.answer} />}</section>
        <section aria-labelledby="draw-heading"><h3 id="draw-heading">2. {t('round.draw')}</h3><p class="hint">{t('round.draw.how')}</p>
          <div class="fields"><BareField id="round-draw-seed" label={t('round.draw.seed')} typed="plain" value={now.drawSeed} set={(value) => edit((all) => void (all.drawSeed = value))} /></div>
          {part('draw', enough && now.drawSeed !== null)}
          {says.draw && <Obstacle words={says.draw.answer.obstacle_words} cures={says.draw.answer.cure_words} />}
          {now.drawn !== null && <><ul class="pairs">{Object.entries(now.drawn).map(([brewer, giver]) => <li key={brewer}><strong>{brewer}</strong> {t('round.brews', { giver })}</li>)}</ul>{says.draw?.answer.result.ways && <p class="hint">{t('round.ways', { n: says.draw.answer.result.ways })}</p>}</>}
        </section>
        <section aria-labelledby="sheets-heading"><h3 id="sheets-heading">3. {t('round.sheets')}</h3><p class="hint">{t('round.sheets.how')}</p>
          <div class="fields"><BareField id="round-code-seed" label={t('round.code.seed')} typed="plain" value={now.codeSeed} set={(value) => edit((all) => void (all.codeSeed = value))} /></div>
          {part('sheets', enough && now.codeSeed !== null)}
          {says.sheets && fresh('sheets') && <BlindSheets key={says.sheets.of} sheets={says.sheets.answer} />}
        </section>
        <section aria-labelledby="rank-heading"><h3 id="rank-heading">4. {t('round.rank')}</h3><p class="hint">{t('round.rank.how')}</p><Closing />{now.closed && part('rank', Object.keys(now.marks).length > 0)}{now.closed && says.rank && <Placed places={says.rank.answer} />}</section>
      </section>
    </div>
  );
}
