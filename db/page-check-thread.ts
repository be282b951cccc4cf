import { parentPort, workerData } from 'node:worker_threads';
import { invariant } from '../shared/basics/result.ts';
import { openDb } from './connection.ts';
import { type PageCheckAnswer, whatIsDamaged } from './page-check.ts';

invariant(parentPort, 'the checking thread is started by the program');
const sqlite = openDb((workerData as { file: string }).file, { readonly: true });
parentPort.postMessage({ why: whatIsDamaged(sqlite) } satisfies PageCheckAnswer);
sqlite.close();
