// The kettle and the tap, folded away: they seldom change.
import { editBrief } from '../live';
import { fieldId, problemAt } from '../parts/problem_note';
import { QuantityField } from '../parts/quantity_field';
import { state, usePart } from '../state';
import { t, type Word } from '../words';

const kitFields: { key: string; si: string[]; us: string[] }[] = [
  { key: 'kettle', si: ['L', 'US gal'], us: ['US gal', 'L'] },
  { key: 'boil', si: ['min'], us: ['min'] },
  { key: 'boil-off', si: ['L/h', 'US gal/h'], us: ['US gal/h', 'L/h'] },
  { key: 'room', si: ['°C', '°F'], us: ['°F', '°C'] },
];
const ions = ['calcium', 'magnesium', 'sodium', 'chloride', 'sulphate', 'bicarbonate'] as const;

export function KitAndWater() {
  const { brief, settings } = usePart((all) => [all.brief.kit, all.brief.water, all.brief.want['ferment-at'], all.settings, all.problems]);
  const wrong = state.problems.some((problem) => /^(kit|water|want\.ferment-at)/.test(problem.field ?? ''));
  const temperature = settings.system === 'si' ? ['°C', '°F'] : ['°F', '°C'];
  const ferment = String(brief.want['ferment-at'] ?? '');
  return (
    <details class="part" open={wrong || undefined}>
      <summary><h3>{t('kit.heading')}</h3></summary>
      <div class="fields">
        {kitFields.map(({ key, si, us }) => (
          <QuantityField key={key} path={`kit.${key}`} label={t(`kit.${key}` as Word)} value={brief.kit[key] ?? ''} units={settings.system === 'si' ? si : us} problem={problemAt(`kit.${key}`)} set={(value) => editBrief((now) => void (now.kit[key] = value))} />
        ))}
        <QuantityField path="want.ferment-at" label={t('kit.ferment-at')} value={ferment} units={temperature} problem={problemAt('want.ferment-at')} set={(value) => editBrief((now) => { if (value === '') delete now.want['ferment-at']; else now.want['ferment-at'] = value; })} />
        <div class="field">
          <label for={fieldId('kit.mash')}>{t('kit.mash')}</label>
          <select id={fieldId('kit.mash')} value={brief.kit['mash']} onChange={(event) => { const mash = event.currentTarget.value; editBrief((now) => void (now.kit['mash'] = mash)); }}>
            <option value="bag">{t('kit.mash.bag')}</option>
            <option value="sparge">{t('kit.mash.sparge')}</option>
          </select>
        </div>
      </div>
      <h4>{t('water.heading')}</h4>
      <p class="hint">{t('water.none')}</p>
      <div class="fields">
        {ions.map((key) => <QuantityField key={key} path={`water[1].${key}`} label={t(`water.${key}`)} value={brief.water[key] ?? ''} units={['mg/L']} problem={problemAt(`water[1].${key}`)} set={(value) => editBrief((now) => void (now.water[key] = value))} />)}
      </div>
    </details>
  );
}
