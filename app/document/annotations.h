#pragma once

#include <QObject>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "core/foundation/result.h"
#include "core/trace/phases.h"
#include "core/trace/pin.h"

namespace beatwitness::app {

class Document;

/// What people marked in a session.
struct Marks {
    trace::PhasePlan phases;
    std::vector<trace::Pin> pins;  ///< by instant

    friend bool operator==(const Marks&, const Marks&) = default;
};

/// Where the marks of one session are kept beyond this run: a row of a library.
class MarksKeeper {
public:
    virtual ~MarksKeeper() = default;
    /// Which row: two sessions of one reference recording keep marks of their own.
    [[nodiscard]] virtual std::string key() const = 0;
    [[nodiscard]] virtual Result<Marks> load() = 0;
    [[nodiscard]] virtual Result<Done> store(const Marks& marks) = 0;
};

/// Phases and pins of the session at hand, each change one undo step.
///
/// They stand on the reference's clock, so that another alignment of a test moves none, and belong to the
/// reference's recording: whoever opens it again in this run finds them. With a keeper they live there.
class Annotations : public QObject {
    Q_OBJECT

public:
    explicit Annotations(Document& document);

    [[nodiscard]] const Marks& marks() const { return now_; }
    [[nodiscard]] const trace::PhasePlan& phases() const { return now_.phases; }
    [[nodiscard]] const std::vector<trace::Pin>& pins() const { return now_.pins; }

    /// The marks of the session with this reference (by SHA-256) are kept there from now on, and loaded.
    /// nullptr: in memory again. Faults of loading are told by refused().
    void keepWith(const std::string& referenceSha256, std::shared_ptr<MarksKeeper> keeper);

    // Session seconds to instants of the reference's clock and back. Require: a session.
    [[nodiscard]] ReferenceTime instantAt(double seconds) const;
    [[nodiscard]] double secondsAt(ReferenceTime time) const;

    /// A plan in place of the present one, as one undo step named `what`; a fault is told by refused().
    /// `select`: begin of the phase that is selected afterwards. True where it was done.
    bool changePhases(Result<trace::PhasePlan> plan, const QString& what,
                      std::optional<ReferenceTime> select = {});
    bool addPhase(Span<ReferenceClock> span, trace::PhaseKind kind, const QString& label = {});
    void setPins(std::vector<trace::Pin> pins, const QString& what);
    void addPin(ReferenceTime at, const QString& note = {});

    [[nodiscard]] std::optional<std::size_t> selectedPhase() const { return selected_; }
    void selectPhase(std::optional<std::size_t> index);

    /// Proposals: laps of the recordings, or what the reference suggests. Empty: none are shown.
    [[nodiscard]] const std::vector<trace::Phase>& proposals() const { return proposals_; }
    void proposeLaps();
    void proposeFromReference();
    void dropProposals();
    /// Takes one over; those that were taken are not proposed any more.
    void takeProposal(std::size_t index);
    void takeAllProposals();
    /// Laps of the reference, or of the test in front where the reference has none. Requires: a session.
    [[nodiscard]] std::vector<trace::Phase> laps() const;
    /// Instants at which the reference changes its course, and laps begin and end: what edges snap to.
    [[nodiscard]] const std::vector<ReferenceTime>& anchors() const { return anchors_; }

    /// Marks of a session that is not at hand, as one undo step.
    void changeElsewhere(std::shared_ptr<MarksKeeper> keeper, Marks before, Marks after, const QString& what);

    /// Puts marks in force and keeps them; the undo step's business only. False where they were not stored.
    bool put(const std::string& key, const Marks& marks);

signals:
    void changed();
    void selectionChanged();
    void proposalsChanged();
    /// What was wanted cannot be: one sentence.
    void refused(const QString& sentence);

private:
    [[nodiscard]] std::string keyAtHand() const;
    void readSession();
    bool change(Marks next, const QString& what);

    Document& document_;
    std::string key_;  ///< of the keeper, else SHA-256 of the reference; empty without a session
    Marks now_;
    std::map<std::string, Marks> inMemory_;
    std::map<std::string, std::shared_ptr<MarksKeeper>> keepers_;  ///< by key; undo steps may still need them
    std::map<std::string, std::string> keptBy_;  ///< SHA-256 of a reference to the keeper's key
    std::optional<std::size_t> selected_;
    std::vector<trace::Phase> proposals_;
    std::vector<ReferenceTime> anchors_;
};

}  // namespace beatwitness::app
