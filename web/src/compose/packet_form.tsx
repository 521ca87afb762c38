// A nutrition label typed in. The program says what it means, and whether it can be right.
import { useEffect, useRef, useState } from 'preact/hooks';
import { readPacket, Trouble, type Packet, type Problem } from '../api';
import type { Item } from '../brief';
import { fieldId, ProblemNote } from '../parts/problem_note';
import { QuantityField } from '../parts/quantity_field';
import { t } from '../words';

const masses = ['fat', 'carbohydrate', 'sugars', 'fibre', 'protein', 'salt'] as const;

/** `keep` gets a label that is sound; `done` is called without one if it was left. */
export function PacketForm({ heading: Heading = 'h4', keep, done }: { heading?: 'h3' | 'h4'; keep(item: Item, read: Packet): void; done(): void }) {
  const [item, setItem] = useState<Item>({ name: '', declared: '', packet: { per: '100 g' } });
  const [problems, setProblems] = useState<Problem[]>([]);
  const [read, setRead] = useState<Packet | null>(null);
  const first = useRef<HTMLInputElement>(null);
  useEffect(() => first.current?.focus(), []);
  const at = (field: string): Problem | undefined => problems.find((problem) => problem.field === field);
  const figure = (key: string, value: string): void => setItem({ ...item, packet: { ...item.packet, [key]: value } });
  const submit = async (): Promise<void> => {
    const packet = Object.fromEntries(Object.entries(item.packet).filter(([, value]) => value !== ''));
    const sent: Item = { name: item.name.trim(), ...(item.declared?.trim() ? { declared: item.declared.trim() } : {}), packet };
    try {
      const meaning = await readPacket(sent);
      setProblems([]);
      setRead(meaning);
      if (!meaning.sound) return;
      keep(sent, meaning);
    } catch (trouble) {
      const found = trouble instanceof Trouble ? trouble.problems : [];
      setProblems(found.length > 0 ? found : [{ what: t('proposal.offline'), remedy: '' }]);
    }
  };
  const named = at('item[1].name');
  const elsewhere = problems.filter((problem) => problem.field === undefined || !/^item\[1\]\.(name|packet\.)/.test(problem.field));
  return (
    <form class="packet" aria-labelledby="packet-heading" noValidate onSubmit={(event) => { event.preventDefault(); void submit(); }}>
      <Heading id="packet-heading">{t('packet.heading')}</Heading>
      <div class="field wide">
        <label for="packet-name">{t('packet.name')}</label>
        <input id="packet-name" ref={first} autocomplete="off" value={item.name} aria-invalid={named !== undefined} aria-describedby={named ? 'packet-name-problem' : undefined} onInput={(event) => setItem({ ...item, name: event.currentTarget.value })} />
        {named && <ProblemNote id="packet-name-problem" problem={named} />}
      </div>
      <div class="field wide">
        <label for="packet-declared">{t('packet.declared')}</label>
        <textarea id="packet-declared" rows={2} value={item.declared} aria-describedby="packet-declared-hint" onInput={(event) => setItem({ ...item, declared: event.currentTarget.value })} />
        <p class="hint" id="packet-declared-hint">{t('packet.declared.hint')}</p>
      </div>
      <div class="fields">
        <div class="field">
          <label for="packet-per">{t('packet.per')}</label>
          <select id="packet-per" value={item.packet['per']} onChange={(event) => figure('per', event.currentTarget.value)}>
            <option value="100 g">100 g</option>
            <option value="100 mL">100 mL</option>
          </select>
        </div>
        <QuantityField path="item[1].packet.energy" label={t('packet.energy')} value={item.packet['energy'] ?? ''} units={['kJ', 'kcal']} problem={at('item[1].packet.energy')} set={(value) => figure('energy', value)} />
        {masses.map((key) => <QuantityField key={key} path={`item[1].packet.${key}`} label={t(`packet.${key}`)} value={item.packet[key] ?? ''} units={['g']} problem={at(`item[1].packet.${key}`)} set={(value) => figure(key, value)} />)}
      </div>
      {elsewhere.map((problem) => <ProblemNote key={problem.what} id={fieldId(problem.field ?? 'packet')} problem={problem} />)}
      {read && !read.sound && (
        <div role="alert" class="note danger">
          <p>{t('packet.wrong')}</p>
          <ul lang="en">{read.findings.map((finding) => <li key={finding.message}>{finding.message}</li>)}</ul>
        </div>
      )}
      <div class="form-actions">
        <button type="submit" class="main-action">{t('packet.read')}</button>
        <button type="button" onClick={done}>{t('packet.cancel')}</button>
      </div>
    </form>
  );
}
