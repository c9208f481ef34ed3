#pragma once

#include <QObject>
#include <functional>
#include <map>
#include <optional>
#include <string>

#include "app/document/session_plan.h"
#include "core/flags/decision_edits.h"
#include "core/library/review_particulars.h"

namespace beatwitness::app {

class Document;

/// What is decided on the flags of the session at hand; every gesture is one undo step.
///
/// A session of the library keeps its review there: then `setStored()` says what stands there, and a gesture
/// becomes an edit of the library. That of a loose pair is kept in memory, for its recordings.
class Reviewing : public QObject {
    Q_OBJECT

public:
    /// Stores a review as one undo step; false where it could not.
    using Store = std::function<bool(const QString& what, const library::SessionReview& review)>;

    explicit Reviewing(Document& document);

    [[nodiscard]] const library::SessionReview& review() const { return now_; }
    /// The decisions that the page shows and goes by: while a further pass is under way only those of it.
    [[nodiscard]] analysis::SessionDecisions decisionsFor(const SessionPlan& plan) const;
    /// The same of another review.
    [[nodiscard]] static analysis::SessionDecisions inSight(const library::SessionReview& review,
                                                            const SessionPlan& plan);

    /// `flag` is one of the test in front, or of its dismissed ones.
    void decide(const flags::Flag& flag, const flags::FlagChange& change, const QString& what);
    void undecide(const flags::Flag& flag);
    /// On the test in front or on the reference; seconds of session time.
    void add(flags::FlaggedTrace on, flags::FlagKind kind, double begin_s, double end_s);

    /// Takes decisions away: of the test in front, and of the reference.
    void drop(const std::vector<flags::FlagDecision>& onTest,
              const std::vector<flags::FlagDecision>& onReference);

    /// Another deciding of the session, without a sight of those before.
    void beginPass();
    void finishPass();
    [[nodiscard]] std::optional<int> openPass() const { return flags::openPass(now_.passes); }
    /// Agreement of the last two passes over the test in front; nothing without two, or where all seconds are
    /// of one class.
    [[nodiscard]] std::optional<double> kappa() const;

    /// The session at hand is of the library, and this stands there.
    void setStored(library::SessionReview review, Store store);
    /// It is not (any more).
    void setLoose();

    /// Puts a loose pair's review in force; the undo step's business only.
    void put(const std::string& key, const library::SessionReview& review);

signals:
    void changed();

private:
    void readSession();
    void change(library::SessionReview next, const QString& what);
    [[nodiscard]] flags::Deciding how(flags::FlaggedTrace on) const;
    [[nodiscard]] library::WearingId wearingOf(flags::FlaggedTrace on) const;
    void setDecisions(flags::FlaggedTrace on, std::vector<flags::FlagDecision> decisions,
                      const QString& what);
    [[nodiscard]] static SessionPlan withIds(SessionPlan plan);

    Document& document_;
    library::SessionReview now_;
    Store store_;      ///< of a session of the library
    std::string key_;  ///< of a loose pair: its reference's SHA-256
    std::map<std::string, library::SessionReview> inMemory_;
};

}  // namespace beatwitness::app
