// The rooms of the page, in the order they stand in the heading. The first that fits the address is shown.
import type { ComponentType } from 'preact';
import { ComposeView } from './compose/compose_view';
import type { Word } from './words';

export interface View {
  path: string; // what stands after # in the address
  word: Word;
  draw: ComponentType;
}
export const views: View[] = [{ path: '/compose', word: 'nav.compose', draw: ComposeView }];
