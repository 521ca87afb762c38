// Who takes part, what each leaves in a sealed parcel, and what everybody has.
import { useState } from 'preact/hooks';
import type { Ingredient } from '../api';
import type { Supply } from '../brief';
import { PacketForm } from '../compose/packet_form';
import { Must } from '../compose/supplies';
import { kindWord, LarderSearch } from '../parts/larder_search';
import { QuantityField } from '../parts/quantity_field';
import { newId, useAll } from '../state';
import { t } from '../words';
import { round } from './kept';
import { allergens, type Member } from './round';

function SupplyRow({ path, supply, must, edit, remove }: { path: string; supply: Supply; must: boolean; edit(how: (supply: Supply) => void): void; remove(): void }) {
  const units = useAll().settings.system === 'si' ? ['g', 'kg', 'oz', 'lb'] : ['oz', 'lb', 'g', 'kg'];
  const what = supply.item;
  const Heading = must ? 'h5' : 'h4';
  return (
    <li class="supply">
      <div class="supply-name"><Heading>{what}</Heading> <span class="aside">{kindWord(supply.kind)}</span><button type="button" class="remove" aria-label={t('supply.remove', { what })} onClick={remove}>×</button></div>
      <div class="fields">
        <QuantityField path={`${path}.amount`} label={t('supply.amount', { what })} short={t('supply.amount.short')} value={supply.amount} units={units} placeholder={must ? '' : t('supply.unlimited')} set={(value) => edit((one) => void (one.amount = value))} />
        {must && <Must supply={supply} path={path} units={units} set={(use) => edit((one) => void (one.use = use))} />}
      </div>
    </li>
  );
}

function Parcel({ path, list, must, change }: { path: string; list: Supply[]; must: boolean; change(how: (list: Supply[]) => void): void }) {
  const [packet, setPacket] = useState(false);
  const add = (item: string, kind: Ingredient['kind']): void => change((now) => void now.push({ item, kind, amount: '' }));
  return (
    <>
      <ul class="supplies">{list.map((supply, index) => <SupplyRow key={`${supply.item} ${index}`} path={`${path}[${index + 1}]`} supply={supply} must={must} edit={(how) => change((now) => { const one = now[index]; if (one) how(one); })} remove={() => change((now) => void now.splice(index, 1))} />)}</ul>
      {packet ? (
        <PacketForm done={() => setPacket(false)} keep={(item) => { setPacket(false); round.edit((now) => void (now.items = [...now.items.filter(({ name }) => name !== item.name), item])); add(item.name, 'food'); }} />
      ) : (
        <div class="finding">
          <LarderSearch id={`find-${path.replace(/\W+/g, '-')}`} label={t(must ? 'round.find' : 'have.search')} take={({ name, kind }) => add(name, kind)} />
          {must && <button type="button" class="quiet" onClick={() => setPacket(true)}>{t('search.packet')}</button>}
        </div>
      )}
    </>
  );
}

function MemberForm({ member, index }: { member: Member; index: number }) {
  const { now, edit } = round;
  const set = (how: (member: Member) => void): void => edit((all) => { const mine = all.members[index]; if (mine) how(mine); });
  const n = index + 1;
  const [open, setOpen] = useState(member.parcel.length === 0);
  return (
    <details class="part member" open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary><h4>{member.name.trim() || t('round.member', { n })}</h4> <span class="aside">{member.parcel.map(({ item }) => item).join(', ') || t('round.no-parcel')}</span></summary>
      <div class="fields">
        <div class="field"><label for={`member-${n}-name`}>{t('round.member.name')}</label><input id={`member-${n}-name`} autocomplete="off" value={member.name} onInput={(event) => { const name = event.currentTarget.value; set((mine) => void (mine.name = name)); }} /></div>
        <div class="field"><label for={`member-${n}-kit`}>{t('round.member.kit')}</label>
          <select id={`member-${n}-kit`} value={member.kit} onChange={(event) => { const kit = event.currentTarget.value; set((mine) => void (mine.kit = kit)); }}>{now.kits.map(({ name }) => <option key={name} value={name}>{name}</option>)}</select>
        </div>
        <button type="button" class="remove" aria-label={t('supply.remove', { what: member.name.trim() || t('round.member', { n }) })} onClick={() => edit((all) => { all.members.splice(index, 1); all.drawn = null; })}>×</button>
      </div>
      <fieldset class="field ticks"><legend>{t('round.cannot')}</legend>
        {allergens.map((each) => <label key={each}><input type="checkbox" checked={member.cannot.includes(each)} onChange={(event) => { const { checked } = event.currentTarget; set((mine) => void (mine.cannot = checked ? [...mine.cannot, each] : mine.cannot.filter((one) => one !== each))); }} /> {t(`allergen.${each}`)}</label>)}
      </fieldset>
      <h5>{t('round.parcel')}</h5>
      <Parcel path={`member[${n}].parcel`} list={member.parcel} must change={(how) => set((mine) => how(mine.parcel))} />
    </details>
  );
}

function Kits() {
  const { now, edit } = round;
  return (
    <details class="part"><summary><h3>{t('round.kits')}</h3></summary>
      <ul class="supplies">
        {now.kits.map((kit, index) => (
          <li class="supply" key={index}>
            <div class="fields">
              <div class="field"><label for={`round-kit-${index + 1}`}>{t('round.kit.name')}</label><input id={`round-kit-${index + 1}`} autocomplete="off" value={kit['name']} onInput={(event) => { const name = event.currentTarget.value; edit((all) => { const old = kit['name']; kit['name'] = name; for (const member of all.members) if (member.kit === old) member.kit = name; }); }} /></div>
              <QuantityField path={`kit[${index + 1}].kettle`} label={t('kit.kettle')} value={kit['kettle'] ?? ''} units={['L', 'US gal']} set={(value) => edit(() => void (kit['kettle'] = value))} />
            </div>
          </li>
        ))}
      </ul>
      <div class="form-actions"><button type="button" onClick={() => edit((all) => void all.kits.push({ name: t('round.kit.next', { n: all.kits.length + 1 }), kettle: '9 L' }))}>{t('round.kit.add')}</button></div>
    </details>
  );
}

export function Members() {
  const { now, edit } = round;
  return (
    <>
      <section aria-labelledby="members-heading">
        <h3 id="members-heading">{t('round.members')}</h3>
        {now.members.length === 0 && <p class="hint">{t('round.members.none')}</p>}
        {now.members.map((member, index) => <MemberForm key={index} member={member} index={index} />)}
        <div class="form-actions"><button type="button" onClick={() => edit((all) => { all.members.push({ id: newId(), name: '', kit: all.kits[0]?.['name'] ?? '', cannot: [], parcel: [] }); all.drawn = null; })}>{t('round.member.add')}</button></div>
      </section>
      <Kits />
      <details class="part"><summary><h3>{t('round.pantry')}</h3> <span class="aside">{now.pantry.map(({ item }) => item).join(', ')}</span></summary>
        <p class="hint">{t('round.pantry.how')}</p>
        <Parcel path="have" list={now.pantry} must={false} change={(how) => edit((all) => how(all.pantry))} />
      </details>
    </>
  );
}
