#pragma once

#include <QObject>
#include <QTimer>
#include <memory>
#include <optional>
#include <vector>

#include "app/document/library_document.h"
#include "core/evaluation/project_agreement.h"
#include "core/report/figures/compared_view.h"
#include "widgets/background/task_runner.h"

namespace beatwitness::app {

/// Two sides of the project at hand beside each other, worked out in the background while somebody looks:
/// evidence is read once and kept; other sides, clocks or epochs pool it anew. Follows the library.
class CompareAnswer : public QObject {
    Q_OBJECT

public:
    explicit CompareAnswer(LibraryDocument& library, QObject* parent = nullptr);

    [[nodiscard]] widgets::TaskRunner& runner() { return runner_; }

    /// Nothing is worked out while nobody looks.
    void setShown(bool shown);
    void setProject(std::optional<library::ProjectId> project);
    [[nodiscard]] std::optional<library::ProjectId> project() const { return project_; }
    /// Its project is the one at hand, whatever it says.
    void setAsk(report::ComparedAsk ask);
    [[nodiscard]] const report::ComparedAsk& ask() const { return ask_; }
    /// How both sides stand up takes the other choice of reference faults, so it is worked out when asked
    /// for.
    void setWantsStanding(bool wants);

    /// nullptr where there is none (yet). What was worked out before stays until the new one is there.
    [[nodiscard]] std::shared_ptr<const report::ComparedView> view() const { return view_; }
    /// Why there is none.
    [[nodiscard]] const std::optional<Fault>& fault() const { return fault_; }
    /// Empty while it is not there.
    [[nodiscard]] const std::vector<report::Scene>& standing() const { return standing_; }
    /// True while what is shown is not what is asked.
    [[nodiscard]] bool isBusy() const;

signals:
    void changed();

private:
    using Evidence = std::shared_ptr<const evaluation::ProjectEvidence>;
    /// What the worker is handed and hands back.
    struct Work {
        std::shared_ptr<library::Library> reader;
        Evidence excluding, keeping;
        report::ComparedAsk ask;
        std::vector<agreement::Criterion> criteria;
        bool standing = false;
        std::vector<library::StoredOutcome> fresh;
        std::shared_ptr<const report::ComparedView> view;
        std::vector<report::Scene> scenes;
        std::optional<Fault> fault;
    };

    void follow(const LibraryChange& change);
    void forget();
    void distrust();
    void goOn();
    void take(Work work, int generation);
    [[nodiscard]] static Work make(Work work, const std::string& path, const RunControl& run);

    LibraryDocument& library_;
    std::optional<library::ProjectId> project_;
    report::ComparedAsk ask_;
    bool shown_ = false, wantsStanding_ = false;
    bool viewIsCurrent_ = false, standingIsCurrent_ = false, stopped_ = false;
    int generation_ = 0;                        ///< of what is in the library
    std::shared_ptr<library::Library> reader_;  ///< of the worker while it runs
    Evidence excluding_, keeping_;
    std::shared_ptr<const report::ComparedView> view_;
    std::vector<report::Scene> standing_;
    std::optional<Fault> fault_;
    QTimer soon_;                 ///< several changes at once are one
    widgets::TaskRunner runner_;  // last: it works on what stands above
};

}  // namespace beatwitness::app
