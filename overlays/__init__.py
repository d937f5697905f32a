"""Pictures of the lesson: boards, marks, stages and films. No speech, no lesson files."""
