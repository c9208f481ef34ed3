#pragma once

#include <QObject>
#include <map>
#include <memory>
#include <unordered_map>
#include <vector>

#include "app/document/library_document.h"
#include "core/agreement/session_sums.h"
#include "core/evaluation/outcomes.h"
#include "widgets/background/task_runner.h"

namespace beatwitness::app {

/// What one device's wearings in one session come to, under the aligned clock (as recorded where alignment
/// was refused).
struct Headline {
    agreement::SessionSums sums;
    bool refused = false;

    /// Mean absolute error, bpm; nothing without a pair.
    [[nodiscard]] std::optional<double> mae() const;
};

/// The headline numbers of the project that is shown: those that the library keeps at once, the others worked
/// out in the background, a short stretch of sessions at a time, and then kept.
class Headlines : public QObject {
    Q_OBJECT

public:
    explicit Headlines(LibraryDocument& library, QObject* parent = nullptr);

    void setProject(library::ProjectId project);
    /// False while the session is still to be worked out.
    [[nodiscard]] bool has(library::SessionId session) const { return done_.contains(session.value); }
    /// nullptr where there is none (yet).
    [[nodiscard]] const Headline* of(library::SessionId session, library::DeviceId device) const;
    /// These first: what the user is looking at.
    void prefer(std::vector<library::SessionId> sessions);
    [[nodiscard]] bool isBusy() const { return !waiting_.empty() || runner_.busy(); }

signals:
    void changed(const std::vector<beatwitness::library::SessionId>& sessions);
    void failed(const beatwitness::Fault& fault);

private:
    struct Entry {
        LibraryContents::Session from;
        std::map<library::DeviceId, Headline> devices;
    };
    using Kept = std::shared_ptr<const evaluation::KeptOutcomes>;
    struct Stretch {
        std::shared_ptr<library::Library> reader;
        Kept kept;
        std::vector<std::pair<LibraryContents::Session, std::map<library::DeviceId, Headline>>> done;
        std::vector<library::StoredOutcome> fresh;
        std::optional<Fault> fault;
    };

    void follow(const LibraryChange& change = {});
    void forget();
    void goOn();
    void putPreferredFirst();
    [[nodiscard]] static Stretch workOn(Stretch at, const std::vector<LibraryContents::Session>& sessions,
                                        const std::string& path, library::ProjectId project,
                                        const RunControl& run);
    void take(Stretch stretch);

    LibraryDocument& library_;
    std::unordered_map<std::int64_t, Entry> done_;
    std::vector<LibraryContents::Session> waiting_;  ///< the next one last
    std::vector<library::SessionId> preferred_;
    library::ProjectId project_;
    std::map<std::string, double> thresholds_;  ///< of the project
    std::shared_ptr<library::Library> reader_;  ///< of the worker while it runs
    Kept kept_;                                 ///< nullptr where inputs changed since
    widgets::TaskRunner runner_;                // last: it works on what stands above
};

}  // namespace beatwitness::app
