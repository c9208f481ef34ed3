#include "app/windows/opening.h"

#include <QMessageBox>
#include <QPushButton>
#include <algorithm>

#include "app/document/document.h"
#include "app/document/session_words.h"
#include "app/windows/role_dialog.h"

namespace beatwitness::app {
namespace {

QString detailsOf(const Fault& fault) {
    const auto code = faultCodeName(fault.code);
    return QStringLiteral("%1\n[%2]")
        .arg(QString::fromStdString(sentence(fault)),
             QString::fromUtf8(code.data(), static_cast<qsizetype>(code.size())));
}

bool holdsHeartRate(const SharedFile& file) {
    return candidateOf(file).hasHeartRate();
}

}  // namespace

Opening::Opening(Document& document, QWidget* window)
    : QObject(window), document_(document), window_(window) {
    connect(&document_, &Document::filesRead, this, &Opening::take);
    connect(&document_, &Document::analysisChanged, this, [this] {
        if (document_.hasSession()) wait(nullptr);
    });
}

void Opening::open(const QStringList& paths) {
    known_.reset();
    asked_ = filesIn(paths);
    if (!asked_.paths.isEmpty())
        document_.readFiles(asked_.paths);
    else if (!paths.isEmpty())
        emit refused(
            tr("No recording in the folder"),
            tr("%1 holds no file named %2. Folders within it are not searched. Nothing was changed.")
                .arg(paths.join(QStringLiteral(", ")), recordingPatterns().join(QStringLiteral(", "))),
            {});
}

void Opening::openByRole(const FilesByRole& files) {
    known_ = files;
    asked_ = {};
    document_.readFiles(QStringList{files.reference} + files.tests + files.contexts);
}

void Opening::take(const Read& read) {
    if (known_) {
        takeByRole(read, *std::exchange(known_, std::nullopt));
        return;
    }
    auto files = sortOut(read);
    if (files.empty()) return;
    if (waiting_ && !document_.hasSession()) files.insert(files.begin(), waiting_);
    if (document_.hasSession() && std::ranges::none_of(files, holdsHeartRate)) return addContexts(files);
    if (files.size() == 1) return takeAlone(files.front());

    std::vector<Candidate> candidates;
    for (const auto& file : files)
        candidates.push_back(candidateOf(file));
    const auto proposal = proposeRoles(candidates);
    if (proposal.clear) {
        SessionPlan plan;
        for (std::size_t i = 0; i < 2; ++i) {
            if (proposal.roles[i] == Role::Reference)
                plan.reference = files[i];
            else
                plan.tests.push_back({files[i], {}});
        }
        start(std::move(plan));
        return;
    }
    ask(std::move(candidates), proposal.roles);
}

std::vector<SharedFile> Opening::sortOut(const Read& read) {
    std::vector<SharedFile> files;
    QStringList sentences, details, twice;
    const auto alike = [&](const SharedFile& file) {
        return [&file](const SharedFile& other) { return other && other->sha256 == file->sha256; };
    };
    std::size_t unread = 0;  // of those nobody named: a folder may hold anything
    for (std::size_t i = 0; i < read.size(); ++i) {
        const auto& result = read[i];
        if (!result && i < asked_.fromFolder.size() && asked_.fromFolder[i]) {
            ++unread;
        } else if (!result) {
            sentences << QString::fromStdString(sentence(result.fault()));
            details << detailsOf(result.fault());
        } else if (std::ranges::any_of(files, alike(*result)) || (waiting_ && alike(*result)(waiting_))) {
            twice << fileName(**result);
        } else {
            files.push_back(*result);
        }
    }
    if (!sentences.isEmpty()) {
        const bool rest = files.size() + (waiting_ ? 1 : 0) >= 2;
        if (!rest) files.clear();
        const QString headline = sentences.size() == 1 ? tr("Could not read the file")
                                                       : tr("Could not read %1 files").arg(sentences.size());
        const QString text = sentences.join(QLatin1Char('\n')) + QLatin1Char('\n');
        const QString all = details.join(QLatin1Char('\n'));
        if (rest)
            emit partlyRefused(headline, text + tr("The other files were taken."), all);
        else
            emit refused(headline, text + tr("Nothing was changed."), all);
    } else if (!twice.isEmpty()) {
        emit noticed(tr("The same recording twice"),
                     tr("%1 holds the same bytes as a file that is already here, so it was left out.")
                         .arg(twice.join(QStringLiteral(", "))),
                     files.size() >= 2);
    } else if (files.empty() && unread > 0) {
        emit refused(
            tr("No recording in the folder"),
            tr("None of the %1 files could be read as a recording. Nothing was changed.").arg(unread), {});
    } else {
        tellOfFolder(unread, files.size() >= 2);
    }
    return files;
}

void Opening::tellOfFolder(std::size_t unread, bool goesOn) {
    QStringList sentences;
    if (asked_.beyond > 0)
        sentences << tr("The first %1 files by name were taken; %2 more were not looked at.")
                         .arg(mostFromFolder)
                         .arg(asked_.beyond);
    if (unread > 0)
        sentences << (unread == 1
                          ? tr("One file could not be read as a recording and was left out.")
                          : tr("%1 files could not be read as recordings and were left out.").arg(unread));
    if (!sentences.isEmpty()) emit noticed(tr("From the folder"), sentences.join(QLatin1Char(' ')), goesOn);
}

void Opening::takeAlone(const SharedFile& file) {
    if (!holdsHeartRate(file)) {
        emit refused(
            tr("Nothing to compare"),
            tr("%1 holds no valid heart rate (25 to 250 bpm). Nothing was changed.").arg(fileName(*file)),
            {});
        return;
    }
    if (document_.hasSession())
        offerToSession({file});
    else
        wait(file);
}

void Opening::offerToSession(const std::vector<SharedFile>& files) {
    const auto& file = files.front();
    const auto& plan = document_.plan();
    const bool known =
        plan.reference->sha256 == file->sha256 ||
        std::ranges::any_of(plan.tests, [&](const auto& t) { return t.file->sha256 == file->sha256; });
    if (known) {
        emit noticed(tr("Already here"),
                     tr("%1 is part of this session already. Nothing was changed.").arg(fileName(*file)),
                     false);
        return;
    }
    auto* question = new QMessageBox(QMessageBox::Question, tr("One more recording"),
                                     tr("%1 was read. What is it for?").arg(fileName(*file)),
                                     QMessageBox::Cancel, window_);
    question->setObjectName(QStringLiteral("oneMoreRecording"));
    question->setInformativeText(spanWords(*file, candidateOf(file).summary));
    question->setAttribute(Qt::WA_DeleteOnClose);
    auto* further = question->addButton(tr("Further test in this session"), QMessageBox::AcceptRole);
    auto* fresh = question->addButton(tr("First of a new pair"), QMessageBox::ActionRole);
    question->setDefaultButton(further);
    connect(question, &QMessageBox::buttonClicked, this,
            [this, file, further, fresh](QAbstractButton* button) {
                if (button == further) {
                    SessionPlan next = document_.plan();
                    next.tests.push_back({file, {}});
                    document_.carryOut(std::move(next), tr("added test %1").arg(fileName(*file)));
                } else if (button == fresh) {
                    document_.clear();
                    wait(file);
                }
            });
    question->open();
}

void Opening::addContexts(const std::vector<SharedFile>& files) {
    SessionPlan next = document_.plan();
    QStringList names;
    for (const auto& file : files) {
        if (file->recording.channels.empty()) continue;
        next.contexts.push_back(file);
        names << fileName(*file);
    }
    if (names.isEmpty()) {
        emit refused(tr("Nothing to add"),
                     tr("The file holds neither heart rate nor another channel. Nothing was changed."), {});
        return;
    }
    document_.carryOut(std::move(next), tr("added context %1").arg(names.join(QStringLiteral(", "))));
}

void Opening::takeByRole(const Read& read, const FilesByRole& files) {
    SessionPlan plan;
    for (std::size_t i = 0; i < read.size(); ++i) {
        if (!read[i]) {
            emit refused(tr("Could not read the recording"),
                         QString::fromStdString(sentence(read[i].fault())) + QLatin1Char('\n') +
                             tr("Nothing was changed."),
                         detailsOf(read[i].fault()));
            return;
        }
        if (i == 0)
            plan.reference = *read[i];
        else if (i <= static_cast<std::size_t>(files.tests.size()))
            plan.tests.push_back({*read[i], {}});
        else
            plan.contexts.push_back(*read[i]);
    }
    if (plan.reference && !plan.tests.empty()) start(std::move(plan));
}

void Opening::ask(std::vector<Candidate> candidates, const std::vector<Role>& roles) {
    if (std::ranges::none_of(roles, [](Role role) { return role == Role::Test; })) {
        emit refused(
            tr("Nothing to compare"),
            tr("Of these files fewer than two hold a valid heart rate (25 to 250 bpm). Nothing was changed."),
            {});
        return;
    }
    auto* dialog = new RoleDialog(std::move(candidates), roles, window_);
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    connect(dialog, &QDialog::accepted, this, [this, dialog] { start(dialog->plan()); });
    dialog->open();
}

void Opening::wait(const SharedFile& file) {
    if (waiting_ == file) return;
    waiting_ = file;
    emit waitingChanged();
}

void Opening::start(SessionPlan plan) {
    const QString what = tr("opening of %1").arg(fileName(*plan.tests.front().file));
    document_.carryOut(std::move(plan), what);
}

}  // namespace beatwitness::app
