#pragma once

#include <QObject>
#include <QStringList>
#include <optional>
#include <vector>

#include "app/document/propose_roles.h"
#include "app/windows/folder_files.h"
#include "core/foundation/result.h"

class QWidget;

namespace beatwitness::app {

class Document;

/// Files to be opened with the roles already known.
struct FilesByRole {
    QString reference;
    QStringList tests;
    QStringList contexts;
};

/// From dropped or chosen files to a session.
///
/// Two recordings of which one is named like a reference, meeting in time, open at once (the window keeps a
/// swap in sight); everything else asks in the role dialog. A single recording waits for its partner, or is
/// offered to the session at hand. What cannot be read is told, and nothing changes.
class Opening : public QObject {
    Q_OBJECT

public:
    /// `window` is what dialogs belong to.
    Opening(Document& document, QWidget* window);

    /// Files, and folders for the recordings in them.
    void open(const QStringList& paths);
    void openByRole(const FilesByRole& files);
    /// A recording that waits for its partner.
    [[nodiscard]] const SharedFile& waiting() const { return waiting_; }

signals:
    void refused(const QString& headline, const QString& text, const QString& details);
    /// Some files could not be read, yet enough could: the others go on.
    void partlyRefused(const QString& headline, const QString& text, const QString& details);
    /// `goesOn`: the load goes on, and the words hold after it too.
    void noticed(const QString& headline, const QString& text, bool goesOn);
    void waitingChanged();

private:
    using Read = std::vector<Result<SharedFile>>;

    void take(const Read& read);
    /// The readable ones, once each; tells the faults.
    [[nodiscard]] std::vector<SharedFile> sortOut(const Read& read);
    void tellOfFolder(std::size_t unread, bool goesOn);
    void takeAlone(const SharedFile& file);
    void offerToSession(const std::vector<SharedFile>& files);
    void addContexts(const std::vector<SharedFile>& files);
    void takeByRole(const Read& read, const FilesByRole& files);
    void ask(std::vector<Candidate> candidates, const std::vector<Role>& roles);
    void wait(const SharedFile& file);
    void start(SessionPlan plan);

    Document& document_;
    QWidget* window_;
    std::optional<FilesByRole> known_;
    FilesToRead asked_;  ///< what is being read
    SharedFile waiting_;
};

}  // namespace beatwitness::app
