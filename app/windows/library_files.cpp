#include "app/windows/library_files.h"

#include <QFileDialog>
#include <QFileInfo>
#include <QInputDialog>
#include <QMenu>
#include <QSettings>
#include <utility>

#include "app/document/propose_roles.h"
#include "app/document/sample_library.h"
#include "app/document/session_words.h"
#include "app/pages/matrix/matrix_panel.h"
#include "app/windows/library_commands.h"
#include "core/library/read_file.h"

namespace beatwitness::app {

using namespace library;

namespace {

constexpr auto recentKey = "library/recent";
constexpr auto lastKey = "library/last";
constexpr auto folderKey = "library/folder";

QString filter() {
    return LibraryFiles::tr("Beatwitness libraries (*%1);;All files (*)").arg(QLatin1String(librarySuffix));
}

QString withSuffix(const QString& path) {
    return path.isEmpty() || isLibraryFile(path) ? path : path + QLatin1String(librarySuffix);
}

/// Files of a pair, to be read again with their bytes.
struct PairFiles {
    struct File {
        std::string path, device;
        library::Role role = library::Role::Test;
        WearingClock clock;
    };
    std::string name;
    std::vector<File> files;
};

PairFiles filesOf(const SessionPlan& plan, const QString& name) {
    PairFiles pair;
    pair.name = name.toStdString();
    const auto add = [&](const SharedFile& file, library::Role role) {
        pair.files.push_back({file->file, deviceLabel(*file), role, {}});
    };
    add(plan.reference, library::Role::Reference);
    for (const auto& test : plan.tests)
        add(test.file, library::Role::Test);
    for (const auto& context : plan.contexts)
        add(context, library::Role::Context);
    return pair;
}

Result<SessionDraft> draftOf(const PairFiles& pair, const RunControl& run) {
    SessionDraft draft;
    draft.name = pair.name;
    for (const auto& file : pair.files) {
        auto read = readForLibrary(file.path, {}, run);
        if (!read) return read.fault();
        WearingDraft wearing;
        wearing.role = file.role;
        wearing.device = file.device;
        wearing.recordings.push_back({std::move(*read), std::nullopt});
        draft.wearings.push_back(std::move(wearing));
    }
    return draft;
}

}  // namespace

bool isLibraryFile(const QString& path) {
    return path.endsWith(QLatin1String(librarySuffix), Qt::CaseInsensitive);
}

LibraryFiles::LibraryFiles(LibraryCommands& commands, LibraryDocument& library, Document& document,
                           StoredSession& session, MatrixPanel& matrix, QSettings& settings, QWidget* window)
    : QObject(window),
      commands_(commands),
      library_(library),
      document_(document),
      session_(session),
      matrix_(matrix),
      settings_(settings),
      window_(window) {
    connectCommands();
    connect(&library_, &LibraryDocument::opened, this, [this] {
        remember();
        if (std::exchange(keepAfterOpening_, false)) askNameAndKeep();
    });
    connect(&library_, &LibraryDocument::changed, this, &LibraryFiles::refresh);
    connect(&library_, &LibraryDocument::storingChanged, this, &LibraryFiles::refresh);
    connect(&library_, &LibraryDocument::failed, this,
            [this] { keepAfterOpening_ = openAfterImport_ = false; });
    connect(&library_, &LibraryDocument::imported, this, [this](const std::vector<AddedSession>& sessions) {
        if (std::exchange(openAfterImport_, false) && !sessions.empty()) session_.open(sessions.front().id);
    });
    connect(&library_, &LibraryDocument::copySaved, this, [this](const QString& path) {
        emit noticed(tr("Copy saved"), tr("%1 holds everything that the library holds now.").arg(path));
    });
    connect(&document_, &Document::analysisChanged, this, &LibraryFiles::refresh);
    refresh();
}

void LibraryFiles::connectCommands() {
    const auto on = [this](QAction* action, auto what) { connect(action, &QAction::triggered, this, what); };
    on(commands_.newLibrary, [this] { askNew(); });
    on(commands_.openLibrary, [this] { askOpen(); });
    on(commands_.sampleLibrary, [this] { openSample(); });
    on(commands_.saveCopy, [this] { askCopy(); });
    on(commands_.closeLibrary, [this] {
        settings_.remove(QLatin1String(lastKey));
        library_.close();
    });
    on(commands_.keepInLibrary, [this] { keepLoosePair(); });
    connect(commands_.recentMenu(), &QMenu::aboutToShow, this, &LibraryFiles::fillRecent);
}

void LibraryFiles::refresh() {
    const bool idle = library_.isOpen() && !library_.isStoring();
    commands_.saveCopy->setEnabled(idle);
    commands_.closeLibrary->setEnabled(library_.isOpen());
    commands_.newLibrary->setEnabled(!library_.isStoring());
    commands_.openLibrary->setEnabled(!library_.isStoring());
    commands_.sampleLibrary->setVisible(hasSample());
    commands_.sampleLibrary->setEnabled(!library_.isStoring() && hasSample());
    commands_.keepInLibrary->setEnabled(document_.hasSession() && !document_.isStored() &&
                                        !library_.isStoring() && (!library_.isOpen() || library_.canWrite()));
}

bool LibraryFiles::openLast() {
    const QString last = settings_.value(QLatin1String(lastKey)).toString();
    if (last.isEmpty() || !QFileInfo::exists(last)) return false;
    library_.open(last);
    return true;
}

bool LibraryFiles::hasSample() {
    const auto folder = sampleFolder();
    return folder && folder->exists(QStringLiteral("manifest.json"));
}

void LibraryFiles::openSample() {
    openSampleLibrary(library_.runner(), [this](const Result<std::filesystem::path>& path) {
        if (path)
            library_.open(QString::fromStdString(path->string()));
        else
            emit refused(tr("Could not open the sample library"),
                         QString::fromStdString(sentence(path.fault())), {});
    });
}

void LibraryFiles::askNew() {
    auto* dialog = new QFileDialog(window_, tr("New Library"),
                                   settings_.value(QLatin1String(folderKey)).toString(), filter());
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setAcceptMode(QFileDialog::AcceptSave);
    dialog->setOption(QFileDialog::DontConfirmOverwrite);  // nothing is ever written over
    connect(dialog, &QFileDialog::fileSelected, this, [this](const QString& path) {
        settings_.setValue(QLatin1String(folderKey), QFileInfo(path).absolutePath());
        library_.create(withSuffix(path));
    });
    connect(dialog, &QDialog::rejected, this, [this] { keepAfterOpening_ = false; });
    dialog->open();
}

void LibraryFiles::askOpen() {
    auto* dialog = new QFileDialog(window_, tr("Open Library"),
                                   settings_.value(QLatin1String(folderKey)).toString(), filter());
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setFileMode(QFileDialog::ExistingFile);
    connect(dialog, &QFileDialog::fileSelected, this, [this](const QString& path) {
        settings_.setValue(QLatin1String(folderKey), QFileInfo(path).absolutePath());
        library_.open(path);
    });
    dialog->open();
}

void LibraryFiles::askCopy() {
    auto* dialog = new QFileDialog(window_, tr("Save a Copy"),
                                   settings_.value(QLatin1String(folderKey)).toString(), filter());
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setAcceptMode(QFileDialog::AcceptSave);
    dialog->setDefaultSuffix(QString::fromLatin1(librarySuffix).mid(1));
    connect(dialog, &QFileDialog::fileSelected, this,
            [this](const QString& path) { library_.saveCopy(withSuffix(path)); });
    dialog->open();
}

void LibraryFiles::remember() {
    QStringList recent = settings_.value(QLatin1String(recentKey)).toStringList();
    recent.removeAll(library_.path());
    recent.prepend(library_.path());
    settings_.setValue(QLatin1String(recentKey), recent.mid(0, mostRecent));
    settings_.setValue(QLatin1String(lastKey), library_.path());
}

void LibraryFiles::fillRecent() {
    auto* menu = commands_.recentMenu();
    menu->clear();
    for (const auto& path : settings_.value(QLatin1String(recentKey)).toStringList()) {
        const QFileInfo file(path);
        const QString name = file.completeBaseName().replace(QLatin1Char('&'), QStringLiteral("&&"));
        auto* action = menu->addAction(file.exists() ? name : tr("%1 (missing) — Locate …").arg(name));
        action->setToolTip(path);
        connect(action, &QAction::triggered, this, [this, path] { openRecent(path); });
    }
    if (menu->isEmpty()) menu->addAction(tr("None yet"))->setEnabled(false);
    menu->setToolTipsVisible(true);
}

void LibraryFiles::openRecent(const QString& path) {
    if (QFileInfo::exists(path))
        library_.open(path);
    else
        locate(path);
}

void LibraryFiles::locate(const QString& missing) {
    auto* dialog = new QFileDialog(window_, tr("Locate %1").arg(QFileInfo(missing).fileName()),
                                   QFileInfo(missing).absolutePath(), filter());
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setFileMode(QFileDialog::ExistingFile);
    connect(dialog, &QFileDialog::fileSelected, this, [this, missing](const QString& path) {
        QStringList recent = settings_.value(QLatin1String(recentKey)).toStringList();
        recent.removeAll(missing);
        settings_.setValue(QLatin1String(recentKey), recent);
        library_.open(path);
    });
    dialog->open();
}

void LibraryFiles::keepLoosePair() {
    if (library_.isOpen()) {
        askNameAndKeep();
        return;
    }
    keepAfterOpening_ = true;
    askNew();
}

void LibraryFiles::askNameAndKeep() {
    if (!document_.hasSession() || document_.isStored()) return;
    auto* dialog = new QInputDialog(window_);
    dialog->setObjectName(QStringLiteral("askText"));
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setWindowTitle(tr("Keep in %1").arg(library_.name()));
    dialog->setLabelText(tr("Name of the session:"));
    dialog->setTextValue(titleOf(*document_.analysis(), static_cast<int>(document_.focusTest())));
    connect(dialog, &QInputDialog::textValueSelected, this, &LibraryFiles::keepAs);
    dialog->open();
}

void LibraryFiles::keepAs(const QString& name) {
    if (!document_.hasSession() || name.trimmed().isEmpty()) return;
    document_.runner().run(
        tr("Reading the recordings …"),
        [pair = filesOf(document_.plan(), name.trimmed())](const RunControl& run) {
            return draftOf(pair, run);
        },
        [this](Result<SessionDraft> draft) {
            if (!draft) {
                const QString words = QString::fromStdString(sentence(draft.fault()));
                emit refused(tr("Could not keep the session"),
                             words + QLatin1Char('\n') + tr("Nothing was stored."), words);
                return;
            }
            openAfterImport_ = true;
            library_.importSessions({std::move(*draft)}, matrix_.projectName());
        });
}

}  // namespace beatwitness::app
