/** A thread of the reader that compares the records' ground while the file is read on. It may do no more than the reader. */
import { parentPort } from 'node:worker_threads';
import { type GroundTask, groundFinder } from './shared-ground.ts';

const finder = groundFinder();

parentPort?.on('message', (task: GroundTask) => {
	if (task === 'found') parentPort?.postMessage(finder.found());
	else finder.take(task.take);
});
