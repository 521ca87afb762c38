// The rooms of the page, in the order they stand in the heading. The first that fits the address is shown.
import type { ComponentType } from 'preact';
import { ComposeView } from './compose/compose_view';
import { DayView } from './day/day_view';
import { FermentView } from './ferment/ferment_view';
import { GylesView } from './gyles/gyles_view';
import { KitView } from './kit/kit_view';
import { LarderView } from './larder/larder_view';
import { RoundView } from './round/round_view';
import type { Word } from './words';

export interface View {
  path: string; // what stands after # in the address
  word: Word;
  draw: ComponentType;
}
export const views: View[] = [
  { path: '/compose', word: 'nav.compose', draw: ComposeView }, { path: '/day', word: 'nav.day', draw: DayView }, { path: '/gyles', word: 'nav.gyles', draw: GylesView },
  { path: '/ferment', word: 'nav.ferment', draw: FermentView }, { path: '/larder', word: 'nav.larder', draw: LarderView }, { path: '/kit', word: 'nav.kit', draw: KitView },
  { path: '/round', word: 'nav.round', draw: RoundView },
];
