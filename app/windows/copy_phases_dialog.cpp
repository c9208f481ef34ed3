#include "app/windows/copy_phases_dialog.h"

#include <QDialogButtonBox>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QTreeWidget>
#include <QVBoxLayout>
#include <algorithm>

#include "app/document/annotations.h"
#include "app/document/document.h"
#include "app/document/stored_session.h"
#include "app/pages/particulars/time_words.h"
#include "app/pages/phases_panel.h"
#include "widgets/background/progress_strip.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace library;

CopyPhasesDialog::CopyPhasesDialog(LibraryDocument& library, StoredSession& from, Document& document,
                                   QWidget* parent)
    : QDialog(parent),
      library_(library),
      from_(from),
      document_(document),
      list_(new QTreeWidget(this)),
      later_(new QLineEdit(QStringLiteral("0:00"), this)),
      complaint_(widgets::makeBody({}, this)) {
    setObjectName(QStringLiteral("copyPhasesDialog"));
    setWindowTitle(tr("Copy Phases to Other Sessions"));
    resize(fontMetrics().averageCharWidth() * 90, fontMetrics().height() * 26);
    makeLayout();
    fill();
    connect(list_, &QTreeWidget::itemChanged, this, &CopyPhasesDialog::refresh);
    connect(later_, &QLineEdit::textChanged, this, &CopyPhasesDialog::refresh);
    refresh();
}

void CopyPhasesDialog::makeLayout() {
    list_->setObjectName(QStringLiteral("copyTargets"));
    list_->setAccessibleName(tr("Sessions to copy the phases to"));
    list_->setHeaderLabels({tr("Session"), tr("Activity"), tr("Begins"), tr("Phases there")});
    list_->setRootIsDecorated(false);
    list_->header()->setSectionResizeMode(0, QHeaderView::Stretch);
    list_->header()->setStretchLastSection(false);
    later_->setObjectName(QStringLiteral("later"));
    later_->setMinimumHeight(28);
    later_->setMaximumWidth(fontMetrics().averageCharWidth() * 14);
    auto* laterName = new QLabel(tr("&Later by, min:s (earlier with a minus)"), this);
    laterName->setBuddy(later_);
    auto* laterRow = new QHBoxLayout;
    laterRow->addWidget(laterName);
    laterRow->addWidget(later_);
    laterRow->addStretch(1);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Cancel, this);
    copy_ = buttons->addButton(tr("&Copy"), QDialogButtonBox::AcceptRole);
    copy_->setObjectName(QStringLiteral("copy"));
    auto* column = new QVBoxLayout(this);
    column->addWidget(widgets::makeBody(
        tr("Each phase begins as long after the first heart rate of the reference as it does in %1. What a "
           "recording is too short for is left out. Phases that a ticked session has are replaced.")
            .arg(QString::fromStdString(from_.row()->name)),
        this));
    column->addWidget(list_, 1);
    column->addLayout(laterRow);
    column->addWidget(complaint_);
    column->addWidget(new widgets::ProgressStrip(runner_, this));
    column->addWidget(buttons);
    connect(buttons, &QDialogButtonBox::accepted, this, &CopyPhasesDialog::copy);
    connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
}

void CopyPhasesDialog::fill() {
    for (const auto& session : library_.contents()->sessions)
        if (session->id != *from_.id() && session->reference()) sessions_.push_back(session);
    const auto& activity = from_.row()->activity;
    std::ranges::stable_partition(sessions_,
                                  [&](const auto& session) { return session->activity == activity; });
    for (const auto& session : sessions_) {
        const auto phases = library_.phases(session->id);
        const auto count = phases ? phases->size() : 0;
        auto* row = new QTreeWidgetItem(
            list_, {QString::fromStdString(session->name), QString::fromStdString(session->activity),
                    session->start ? instantWords(RecordingTime{*session->start}, session->zone) : QString(),
                    count > 0 ? QString::number(count) : tr("none")});
        row->setTextAlignment(3, Qt::AlignRight | Qt::AlignVCenter);
        row->setCheckState(0, session->activity == activity && count == 0 ? Qt::Checked : Qt::Unchecked);
    }
    for (int column = 1; column < 4; ++column)
        list_->resizeColumnToContents(column);
    if (list_->topLevelItemCount() > 0) list_->setCurrentItem(list_->topLevelItem(0));
}

std::vector<LibraryContents::Session> CopyPhasesDialog::ticked() const {
    std::vector<LibraryContents::Session> wanted;
    for (int row = 0; row < list_->topLevelItemCount(); ++row)
        if (list_->topLevelItem(row)->checkState(0) == Qt::Checked)
            wanted.push_back(sessions_[static_cast<std::size_t>(row)]);
    return wanted;
}

void CopyPhasesDialog::refresh() {
    const auto wanted = ticked().size();
    const bool understood = parseSessionTime(later_->text()).has_value();
    copy_->setText(wanted == 1 ? tr("&Copy to 1 Session") : tr("&Copy to %1 Sessions").arg(wanted));
    copy_->setEnabled(wanted > 0 && understood && !runner_.busy() && library_.canWrite());
    complaint_->setVisible(!understood || !library_.canWrite() || sessions_.empty());
    complaint_->setText(!understood         ? tr("A time such as 1:30 or -0:10 was expected.")
                        : sessions_.empty() ? tr("The library holds no other session with a reference.")
                                            : tr("The library can only be read."));
}

void CopyPhasesDialog::copy() {
    auto wanted = ticked();
    const auto later = parseSessionTime(later_->text());
    if (wanted.empty() || !later || !document_.hasSession()) return;
    const auto asked = wanted.size();
    runner_.run(
        tr("Reading the references …"),
        [path = library_.path().toStdString(), plan = document_.annotations().phases(),
         t0 = document_.analysis()->t0, later = toMicros({*later}), wanted = std::move(wanted)](
            const RunControl& run) { return copiedPhases(path, plan, t0, later, wanted, run); },
        [this, asked](Result<std::vector<PhaseCopy>> copies) { finish(std::move(copies), asked); });
    refresh();
}

void CopyPhasesDialog::finish(Result<std::vector<PhaseCopy>> copies, std::size_t asked) {
    if (!copies) {
        complaint_->setText(QString::fromStdString(sentence(copies.fault())));
        complaint_->show();
        copy_->setEnabled(true);
        return;
    }
    const auto count = copies->size();
    storePhaseCopies(document_.annotations(), library_, document_.undoStack(), std::move(*copies),
                     tr("phases copied to other sessions"));
    const QString left =
        count == asked ? QString()
                       : tr(" Into %1 nothing fell: their recordings are too short.").arg(asked - count);
    emit told(tr("Phases were copied"),
              (count == 1 ? tr("1 session has them now; undo takes them back.")
                          : tr("%1 sessions have them now; undo takes them back.").arg(count)) +
                  left);
    accept();
}

}  // namespace beatwitness::app
