/*
 * Episodes: when a signal passed a limit, for how long, how far, and when it came back.
 *
 * All delays are measured in time, never in samples, so that samples may be uneven, compressed or few.  The user
 * says of each stretch between two samples what it is worth as evidence:
 *
 *	full	the value of its first sample held throughout: delays run
 *	none	it cannot be told: everything is frozen as it is, delays stand still
 *	broken	a gap, or a stretch that is not to be judged: a delay that had begun begins anew
 *
 * An episode opens when the signal has been over a limit for on_delay_s of full evidence, and then counts from the
 * first sample over it.  It ends when the signal has been back, by the deadband, for off_delay_s of full evidence,
 * and then counts to the last instant for which it was evidenced.  Between, it is never closed by lack of
 * evidence.  Its status only rises: an alert that passes the alarm limit for on_delay_s becomes an alarm of the
 * same episode.
 */
#ifndef LEAT_STREAM_EPISODE_H
#define LEAT_STREAM_EPISODE_H

#include "base/instant.h"
#include "stream/finding.h"

/* What is a limit.  For side 1 it is passed by a larger value, for side -1 by a smaller; a value at it does not
 * pass. */
struct leat_episode_form {
	int side;
	bool has_alert, has_alarm;	/* at least one; an alarm limit is not nearer than the alert limit */
	double alert, alarm;
	double deadband;		/* back is: at least this far on the good side of the nearest limit; >= 0 */
	double on_delay_s, off_delay_s;	/* >= 0 */
};

enum leat_evidence {
	LEAT_EVIDENCE_FULL,
	LEAT_EVIDENCE_NONE,
	LEAT_EVIDENCE_BROKEN
};

struct leat_episode_record {
	enum leat_status status;	/* LEAT_STATUS_ALERT or LEAT_STATUS_ALARM */
	struct leat_time since;		/* first sample over the limit */
	struct leat_time reached;	/* when the status was reached: the delay over */
	struct leat_time until;		/* last instant evidenced; of an open episode: so far */
	struct leat_time closed;	/* when it could be known that it is over */
	double held_s;			/* full evidence between since and until */
	double worst;			/* the value farthest beyond the limit */
	int decimals;			/* of worst, as its sample was written */
	long count;			/* episodes that this record stands for: 1, or more once records are folded */
};

/* Private but for open and now.  A zeroed struct is a signal that has no sample yet. */
struct leat_episode {
	bool open;
	struct leat_episode_record now;	/* while open */
	struct leat_time last;		/* the instant that was reached */
	bool over_alert, over_alarm, back; /* of the value that holds since last */
	bool pending_alert, pending_alarm;
	struct leat_time alert_since;
	double alert_s, alarm_s, back_s;
	double worst;			/* while an episode is pending */
	int decimals;
};

/* Moves on to the instant to, which is not before the last one, with what the stretch in between is worth.  True
 * when that ended the episode: *closed is filled. */
bool leat_episode_pass(struct leat_episode *ep, const struct leat_episode_form *form, struct leat_time to,
    enum leat_evidence evidence, struct leat_episode_record *closed);

/* Takes the sample at the instant that was reached.  shown and decimals are kept as the worst value when it is;
 * shown may differ from value where what is judged is not what people want to see.  True when that ended the
 * episode: *closed. */
bool leat_episode_take(struct leat_episode *ep, const struct leat_episode_form *form, double value, double shown,
    int decimals, struct leat_episode_record *closed);

/* Most samples of most signals lie within their limits, and nothing is open or pending: then moving on with whatever
 * evidence and taking the sample comes to this.  True when that is all there is to do. */
static inline bool
leat_episode_idles(struct leat_episode *ep, const struct leat_episode_form *form, struct leat_time to, double value)
{
	double nearest = form->has_alert ? form->alert : form->alarm;

	if (ep->open || ep->pending_alert || form->side * value > form->side * nearest)
		return false;
	ep->over_alert = ep->over_alarm = false;
	ep->last = to;
	return true;
}

/* The sample at the instant that was reached is not to be judged: delays begin anew, an open episode stays. */
void leat_episode_suspend(struct leat_episode *ep);

/* Makes a one of a and b, two records of one signal of which b is the later. */
void leat_episode_fold(struct leat_episode_record *a, const struct leat_episode_record *b, int side);

#endif
