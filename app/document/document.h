#pragma once

#include <QObject>
#include <QStringList>
#include <QUndoStack>
#include <vector>

#include "app/document/session_plan.h"
#include "core/foundation/result.h"
#include "widgets/background/task_runner.h"

namespace beatwitness::app {

class Annotations;
class Reviewing;
class Selection;

/// The session at hand: which recordings, what was asked, and the numbers that came of it.
///
/// Reading and analysing happen on the runner's worker; a plan takes effect only with its numbers, so that a
/// failed or cancelled load leaves everything as it was. Every change of the session is one undo step that
/// keeps both sides with their numbers: undo and redo are instant and cannot fail. Which clock is looked at
/// and which test is in front are matters of view and not undone.
class Document : public QObject {
    Q_OBJECT

public:
    /// `undo` is the window's one stack; it must outlive the document.
    explicit Document(QUndoStack& undo, QObject* parent = nullptr);

    [[nodiscard]] widgets::TaskRunner& runner() { return runner_; }
    [[nodiscard]] QUndoStack& undoStack() { return undo_; }
    /// Phases and pins of the session at hand.
    [[nodiscard]] Annotations& annotations() { return *annotations_; }
    /// What was decided on its flags.
    [[nodiscard]] Reviewing& reviewing() { return *reviewing_; }
    /// Which seconds of it are looked at.
    [[nodiscard]] Selection& selection() { return *selection_; }
    [[nodiscard]] const SessionPlan& plan() const { return shown_.plan; }
    /// nullptr without a session.
    [[nodiscard]] const SharedAnalysis& analysis() const { return shown_.analysis; }
    [[nodiscard]] bool hasSession() const { return now_.analysis != nullptr; }

    /// Index of the test in front; 0 without a session.
    [[nodiscard]] std::size_t focusTest() const { return focus_; }
    /// The test in front. Requires: hasSession().
    [[nodiscard]] const analysis::TestAnalysis& test() const { return shown_.analysis->tests[focus_]; }
    /// True where an alignment was applied to the test in front.
    [[nodiscard]] bool canShowAligned() const { return hasSession() && test().aligned.has_value(); }
    /// The clock to show: aligned where wanted and there is one.
    [[nodiscard]] bool showsAligned() const { return wantsAligned_ && canShowAligned(); }

    /// Reads files off the GUI thread and tells filesRead(). Changes nothing.
    void readFiles(const QStringList& paths);

    /// Analyses `plan` and makes it the session, as one undo step named `what`. Requires: a reference and a
    /// test.
    void carryOut(SessionPlan plan, const QString& what);

    /// The test in front and the reference change places. Requires: hasSession().
    void swapRoles();
    /// `file` (one of the plan's tests or the reference) becomes the reference, the old one a test in its
    /// place.
    void makeReference(const SharedFile& file);
    /// `anew`, the same file read in another way, takes the place of `file`, whatever its role.
    void replaceReading(const SharedFile& file, const SharedFile& anew);
    /// Another way to bring the clock of the test in front to the reference's; shown aligned from then on.
    void align(alignment::Method method, Seconds offset = {}, Ppm drift = {},
               analysis::OffsetReason reason = analysis::OffsetReason::ByHand);
    /// Other thresholds for a loose pair, as one undo step. Requires: hasSession(), not isStored().
    void setThresholds(const analysis::Settings& settings, const QString& what);
    /// The same session with other decisions on its flags: at once where they are on tests alone, else in the
    /// background, as other seconds count. No undo step: Reviewing makes one.
    void redecide(const analysis::SessionDecisions& decisions);

    /// Hides which device is which: tests get numbers for names and come in an order dealt anew, so that
    /// their colours say nothing either. Until it is taken back roles and readings stay as they are.
    void setBlind(bool blind);
    [[nodiscard]] bool isBlind() const { return blind_; }
    /// Place among the plan's tests, whoever is hidden, of what is shown in place `index`.
    [[nodiscard]] std::size_t trueIndex(std::size_t index) const;
    /// The plan with nothing hidden.
    [[nodiscard]] const SessionPlan& truePlan() const { return now_.plan; }

    /// No session; undoable where it was a loose pair.
    void clear();

    /// Shows a session of the library, or (an empty snapshot) none. Which one is at hand is no undo step.
    void showStored(const Snapshot& snapshot);
    /// True where the session at hand is the library's: another clock or reference then is asked for below.
    [[nodiscard]] bool isStored() const { return isStored_; }

    void setWantsAligned(bool aligned);
    void setFocusTest(std::size_t index);

    /// Puts a snapshot in force; the undo step's business only.
    void restore(const Snapshot& snapshot);

signals:
    /// One result for each path, in their order.
    void filesRead(const std::vector<beatwitness::Result<beatwitness::app::SharedFile>>& files);
    void recordingsChanged();
    void analysisChanged();
    void clockViewChanged();
    void focusTestChanged();
    /// Of a session of the library: test `index` is to have another clock.
    void storedClockAsked(std::size_t index, const beatwitness::analysis::ClockRequest& clock,
                          beatwitness::analysis::OffsetReason reason);
    /// Likewise: `file` is to be the reference.
    void storedReferenceAsked(const beatwitness::app::SharedFile& file);
    /// `what` was being done, `fault` hindered it; the session is as it was.
    void failed(const QString& what, const beatwitness::Fault& fault);

private:
    void commit(Snapshot next, const QString& what);
    void putInForce(const Snapshot& snapshot, bool stored);

    void show();
    void hide();  ///< makes what may be seen
    bool hindered(const QString& what);

    Snapshot now_;
    Snapshot shown_;  ///< `now_`, or what may be seen of it
    bool blind_ = false;
    std::vector<std::size_t> order_;  ///< of the tests while blind
    std::size_t focus_ = 0;
    bool wantsAligned_ = true;
    Annotations* annotations_;  ///< before all pages, so that they find it up to date
    Reviewing* reviewing_;      ///< likewise
    Selection* selection_;
    bool isStored_ = false;
    QUndoStack& undo_;
    widgets::TaskRunner runner_;
};

}  // namespace beatwitness::app
