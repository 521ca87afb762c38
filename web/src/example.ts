// The parcel of examples/saltmarsh-round.toml; tests/page holds the two against each other.
import type { Brief } from './brief';

export function exampleBrief(): Brief {
  return {
    name: 'Saltmarsh harvest ale',
    kit: { kettle: '16 L', mash: 'bag', 'boil-off': '2.2 L/h', boil: '60 min', room: '18 °C' },
    want: {
      volume: '10 L', alcohol: ['5.8 %', '6.2 %'], 'final-gravity': ['1.010', '1.016'], bitterness: ['25 IBU', '32 IBU'], colour: ['20 EBC', '30 EBC'],
      'mash-ph': [5.2, 5.6], chloride: ['40 mg/L', '120 mg/L'], 'most-malts': 4, 'most-hops': 2, rest: ['64 °C', '69 °C'], 'ferment-at': '19 °C', carbonation: '2.4 vol',
    },
    given: [
      { item: 'smoked wheat malt', kind: 'malt', amount: '350 g', use: 'all' },
      { item: 'home-dried hops', kind: 'hop', amount: '45 g', use: 'all', alpha: ['3 %', '8 %'] },
      { item: 'allotment nut spread', kind: 'food', amount: '220 g', use: '20 g to 60 g', route: 'infusion' },
    ],
    item: [{
      name: 'allotment nut spread', declared: 'hazelnuts 45 %, honey 40 %, rapeseed oil, sugar',
      packet: { per: '100 g', energy: '2230 kJ', fat: '34 g', carbohydrate: '47 g', sugars: '43 g', fibre: '4 g', protein: '8 g', salt: '0.05 g' },
    }],
    have: [
      { item: 'pale ale malt', kind: 'malt', amount: '5 kg' }, { item: 'Munich malt', kind: 'malt', amount: '1 kg' },
      { item: 'crystal malt, medium', kind: 'malt', amount: '500 g' }, { item: 'crystal malt, dark', kind: 'malt', amount: '250 g' },
      { item: 'wheat malt', kind: 'malt', amount: '1 kg' }, { item: 'chocolate malt', kind: 'malt', amount: '200 g' },
      { item: 'Northern Brewer', kind: 'hop', amount: '50 g' }, { item: 'neutral ale yeast', kind: 'yeast', amount: '11.5 g' },
      { item: 'gypsum', kind: 'salt', amount: '50 g' }, { item: 'calcium chloride', kind: 'salt', amount: '50 g' }, { item: 'lactic acid 80 %', kind: 'acid', amount: '100 g' },
    ],
    water: { calcium: '62 mg/L', magnesium: '7 mg/L', sodium: '18 mg/L', chloride: '36 mg/L', sulphate: '44 mg/L', bicarbonate: '150 mg/L' },
  };
}
