-- +goose Up
-- An identifier of an answer belongs to one exercise, so both keys begin with lesson
-- and exercise: what a class does at the same time lies on the same pages. The first
-- key also finds the answers of a lesson.
ALTER TABLE attempts
	DROP CONSTRAINT attempts_learner_submission_key,
	DROP CONSTRAINT attempts_learner_lesson_exercise_part_series_attempt_no_key,
	ADD CONSTRAINT attempts_place UNIQUE (lesson, exercise, learner, part, series, attempt_no),
	ADD CONSTRAINT attempts_submission UNIQUE (lesson, exercise, learner, submission);
DROP INDEX attempts_lesson;
