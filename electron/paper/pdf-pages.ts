/** Pages of a PDF as Chromium writes it: page objects stand in the file uncompressed. */
export function pdfPages(pdf: Uint8Array): number {
	return (
		Buffer.from(pdf)
			.toString('latin1')
			.match(/\/Type\s*\/Page\b/g)?.length ?? 0
	);
}
