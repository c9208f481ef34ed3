#include "app/windows/importing.h"

#include <QWidget>

#include "app/windows/folder_files.h"
#include "app/windows/import_dialog.h"

namespace beatwitness::app {
namespace {

QString text(std::string_view words) {
    return QString::fromUtf8(words.data(), static_cast<qsizetype>(words.size()));
}

}  // namespace

Importing::Importing(LibraryDocument& library, QWidget* window)
    : QObject(window), library_(library), window_(window), project_(text(library::defaultProject)) {
    connect(&library_, &LibraryDocument::imported, this, &Importing::tell);
    connect(&library_, &LibraryDocument::importStopped, this,
            [this] { emit noticed(tr("Import stopped"), tr("The library is as it was.")); });
}

void Importing::setProject(const QString& project) {
    if (!project.isEmpty()) project_ = project;
}

void Importing::import(const QStringList& paths) {
    if (!library_.canWrite() || library_.isStoring()) {
        const auto& because = library_.readOnlyBecause();
        emit refused(tr("Cannot import"),
                     because ? QString::fromStdString(sentence(*because))
                             : tr("Open a library first, or wait until the import at work is done."),
                     {});
        return;
    }
    ImportRequest request;
    for (const auto& file : filesBelow(paths))
        request.files.emplace_back(file.toStdString());
    if (request.files.empty()) {
        emit refused(
            tr("No recording there"),
            tr("Nothing below %1 is named like a recording (%2). Nothing was changed.")
                .arg(paths.join(QStringLiteral(", ")), recordingPatterns().join(QStringLiteral(", "))),
            {});
        return;
    }
    request.library = library_.path();
    for (const auto& project : library_.contents()->projects)
        request.projects << QString::fromStdString(project.is.label);
    request.project = project_;
    auto* dialog = new ImportDialog(std::move(request), window_);
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    connect(dialog, &ImportDialog::refused, this, [this](const Fault& fault) {
        emit refused(tr("Cannot import"), QString::fromStdString(sentence(fault)), {});
    });
    connect(dialog, &QDialog::accepted, this, [this, dialog] {
        leftOver_ = dialog->leftOver();
        setProject(dialog->project());
        store(dialog->drafts(), dialog->project());
    });
    dialog->open();
}

void Importing::store(std::vector<library::SessionDraft> drafts, const QString& project) {
    library_.importSessions(std::move(drafts), project);
}

void Importing::tell(const std::vector<library::AddedSession>& added) {
    qsizetype fresh = 0, joined = 0, known = 0;
    for (const auto& session : added)
        ++(!session.isNew ? known : session.joined ? joined : fresh);
    QStringList parts;
    if (fresh > 0) parts << (fresh == 1 ? tr("1 new session.") : tr("%1 new sessions.").arg(fresh));
    if (joined > 0)
        parts << (joined == 1 ? tr("1 stored session got further recordings.")
                              : tr("%1 stored sessions got further recordings.").arg(joined));
    if (known > 0) parts << tr("There already: %1.").arg(known);
    if (!leftOver_.isEmpty()) parts << leftOver_;
    leftOver_.clear();
    emit noticed(tr("Imported"), parts.join(QLatin1Char(' ')));
}

}  // namespace beatwitness::app
