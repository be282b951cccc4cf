/** `npm run call`: the command line door, built first where its sources have changed. */
import { importBuilt } from '../host/build.ts';

await importBuilt('call');
