#pragma once

#include <QObject>
#include <QTimer>
#include <memory>
#include <optional>
#include <vector>

#include "app/document/library_document.h"
#include "core/report/agreement_view.h"
#include "widgets/background/task_runner.h"

namespace beatwitness::app {

/// The agreement of the project at hand, or of a loose pair, worked out in the background while somebody
/// looks: evidence is read once and kept; another scope, clock, epoch or breakdown pools it anew without
/// reading. Follows the library: several changes at once are one.
class ProjectAnswer : public QObject {
    Q_OBJECT

public:
    using View = std::shared_ptr<const report::AgreementView>;
    using Evidence = std::shared_ptr<const evaluation::ProjectEvidence>;

    explicit ProjectAnswer(LibraryDocument& library, QObject* parent = nullptr);

    [[nodiscard]] widgets::TaskRunner& runner() { return runner_; }

    /// Nothing is worked out while nobody looks.
    void setShown(bool shown);
    void setProject(std::optional<library::ProjectId> project);
    [[nodiscard]] std::optional<library::ProjectId> project() const { return project_; }
    /// Evidence of a pair that no library holds, in place of a project's; nullptr: the project's.
    void setLoose(Evidence evidence);
    /// Its project, devices and colours are those at hand, whatever it says.
    void setAsk(report::AgreementAsk ask);
    [[nodiscard]] const report::AgreementAsk& ask() const { return ask_; }

    /// nullptr where there is none (yet). What was worked out before stays until the new one is there.
    [[nodiscard]] const View& view() const { return view_; }
    /// Why there is none.
    [[nodiscard]] const std::optional<Fault>& fault() const { return fault_; }
    /// True while what is shown is not what is asked.
    [[nodiscard]] bool isBusy() const;

    /// Reads nothing where `evidence` holds what was read before. For tests and benchmarks, too.
    struct Work {
        std::shared_ptr<library::Library> reader;
        Evidence excluding, keeping;  ///< without and with the seconds under reference faults
        std::shared_ptr<const report::AgreementChoices> choices;
        report::AgreementAsk ask;
        std::vector<agreement::Criterion> criteria;
        std::vector<library::StoredOutcome> fresh;
        View view;
        std::optional<Fault> fault;
    };
    [[nodiscard]] static Work make(Work work, const std::string& path, const RunControl& run);

signals:
    void changed();

private:
    void follow(const LibraryChange& change);
    void forget();
    void distrust();
    void goOn();
    void take(Work work, int generation);
    [[nodiscard]] bool hasSource() const;
    void nameDevices();

    LibraryDocument& library_;
    std::optional<library::ProjectId> project_;
    Evidence loose_;
    report::AgreementAsk ask_;
    bool shown_ = false, isCurrent_ = false, stopped_ = false;
    int generation_ = 0;                        ///< of what is in the library
    std::shared_ptr<library::Library> reader_;  ///< of the worker while it runs
    Evidence excluding_, keeping_;
    std::shared_ptr<const report::AgreementChoices> choices_;
    View view_;
    std::optional<Fault> fault_;
    QTimer soon_;
    widgets::TaskRunner runner_;  // last: it works on what stands above
};

}  // namespace beatwitness::app
