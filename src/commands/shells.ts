/** The shells that complete words of this program, with the file of each in `shared/completion`. */
export const COMPLETION_FILES = { bash: 'outfeed.bash', zsh: '_outfeed', fish: 'outfeed.fish' } as const;

export type Shell = keyof typeof COMPLETION_FILES;
export const SHELLS = Object.keys(COMPLETION_FILES) as Shell[];
