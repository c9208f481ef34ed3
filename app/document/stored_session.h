#pragma once

#include <QObject>
#include <optional>

#include "app/document/document.h"
#include "app/document/library_document.h"

namespace beatwitness::app {

/// The session of the library that is open on the session page.
///
/// Its recordings are loaded and analysed in the background, each wearing under its stored clock. What is
/// done to it on the page (another clock, roles swapped) becomes an edit of the library, and whatever changes
/// it in the library is shown.
class StoredSession : public QObject {
    Q_OBJECT

public:
    /// Both must outlive it.
    StoredSession(LibraryDocument& library, Document& document, QObject* parent = nullptr);

    /// Shows the session. Then changed(), and the document has it; a session without anything to compare is
    /// shown by its particulars alone, and `unscored()` says why.
    void open(library::SessionId session);
    void close();
    /// Whose thresholds count: another project's are another analysis.
    void setProject(library::ProjectId project);
    [[nodiscard]] const std::optional<library::SessionId>& id() const { return id_; }
    /// nullptr without one.
    [[nodiscard]] const library::SessionRow* row() const { return row_.get(); }
    /// Why there are no numbers; empty where there are, or may come.
    [[nodiscard]] const QString& unscored() const { return unscored_; }

signals:
    /// Another session, or other words about it.
    void changed();

private:
    using Files = std::vector<std::pair<library::WearingId, SharedFile>>;
    struct Loaded {
        LibraryContents::Session from;
        Files files;
        Snapshot snapshot;
        std::vector<library::WearingId> tests;
    };

    void load();
    /// Marks of this reference are kept with the session at hand, those of the one before in memory again: a
    /// loose pair of the same reference must not write into the library. Empty: of none.
    void keepMarksOf(const std::string& reference);
    void take(Result<Loaded> loaded);
    void follow(const LibraryChange& change);
    void followReview();
    [[nodiscard]] std::map<std::string, double> thresholds() const;
    void storeClock(std::size_t test, const analysis::ClockRequest& clock, analysis::OffsetReason reason);
    void storeReference(const SharedFile& file);
    [[nodiscard]] static Result<Loaded> loadAndAnalyse(const std::string& path,
                                                       const LibraryContents::Session& row, Files known,
                                                       const analysis::Settings& settings,
                                                       const RunControl& run);

    LibraryDocument& library_;
    Document& document_;
    std::optional<library::SessionId> id_;
    LibraryContents::Session row_;
    LibraryContents::Session loadedFrom_;  ///< the row that `files_` was read for
    std::string markedReference_;          ///< SHA-256 of the reference whose marks are kept in the library
    Files files_;
    std::vector<library::WearingId> tests_;  ///< of the document's tests, in their order
    QString unscored_;
    library::ProjectId project_;
    std::map<std::string, double> loadedUnder_;  ///< thresholds of the numbers at hand
};

}  // namespace beatwitness::app
