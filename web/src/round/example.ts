// The round of examples/rounds/saltmarsh-autumn.toml; tests/page holds the two against each other.
import type { Supply } from '../brief';
import { newId } from '../state';
import { emptyRound, type Round } from './round';

const supply = (item: string, kind: Supply['kind'], amount: string, more: Partial<Supply> = {}): Supply => ({ item, kind, amount, ...more });
const jar = (name: string, declared: string, energy: string, fat: string, carbohydrate: string, sugars: string, fibre: string, protein: string, salt: string) => ({ name, declared, packet: { per: '100 g', energy, fat, carbohydrate, sugars, fibre, protein, salt } });

export function exampleRound(): Round {
  return {
    ...emptyRound(),
    name: 'Saltmarsh autumn round', straight: false, drawSeed: 20261004, codeSeed: 5081, guests: 'Nell',
    kits: [{ name: 'stove-top pot', kettle: '9 L', 'boil-off': '1.8 L/h', 'kettle-loss': '0.3 L', 'fermenter-loss': '0.3 L' }, { name: 'kettle and bag', kettle: '16 L', 'boil-off': '2.2 L/h' }],
    pantry: [supply('pale ale malt', 'malt', ''), supply('crystal malt, medium', 'malt', ''), supply('Northern Brewer', 'hop', ''), supply('neutral ale yeast', 'yeast', '11.5 g')],
    water: { calcium: '62 mg/L', magnesium: '7 mg/L', sodium: '18 mg/L', chloride: '36 mg/L', sulphate: '44 mg/L', bicarbonate: '150 mg/L' },
    items: [
      jar('allotment nut spread', 'hazelnuts 45 %, honey 40 %, rapeseed oil, sugar', '2230 kJ', '34 g', '47 g', '43 g', '4 g', '8 g', '0.05 g'),
      jar('quince jelly', 'quinces, sugar, lemon juice', '1050 kJ', '0 g', '61 g', '60 g', '1 g', '0.3 g', '0 g'),
    ],
    members: [
      { id: newId(), name: 'Ida', kit: 'kettle and bag', cannot: [], parcel: [supply('smoked wheat malt', 'malt', '350 g'), supply('allotment nut spread', 'food', '220 g', { use: '20 g to 60 g', route: 'infusion' })] },
      { id: newId(), name: 'Bea', kit: 'stove-top pot', cannot: ['tree-nut'], parcel: [supply('quince jelly', 'food', '300 g')] },
      { id: newId(), name: 'Cal', kit: 'kettle and bag', cannot: [], parcel: [supply('home-dried hops', 'hop', '45 g', { use: 'at least 15 g', alpha: ['3 %', '8 %'] }), supply('honey', 'sugar', '250 g')] },
      { id: newId(), name: 'Dot', kit: 'stove-top pot', cannot: [], parcel: [supply('rye malt', 'malt', '400 g')] },
      { id: newId(), name: 'Emrys', kit: 'kettle and bag', cannot: [], parcel: [supply('chocolate malt', 'malt', '200 g', { use: 'at least 50 g' }), supply('Golding', 'hop', '40 g', { use: 'at least 10 g' })] },
      { id: newId(), name: 'Fern', kit: 'kettle and bag', cannot: [], parcel: [supply('Munich malt', 'malt', '1 kg'), supply('light brown sugar', 'sugar', '200 g')] },
    ],
    past: [{ name: 'spring', brewed: { Ida: 'Bea', Bea: 'Cal', Cal: 'Dot', Dot: 'Emrys', Emrys: 'Fern', Fern: 'Ida' } }],
  };
}
